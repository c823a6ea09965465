/**
 * Reads frames from disk: capture time, settings, flash, white point, body, thumbnail.
 *
 * <p>Purpose: {@link samelight.engine.metadata.FrameReader} turns one file into a frame, {@link
 * samelight.engine.metadata.ShootReader} a folder tree into frames. Inputs: JPEG, TIFF, DNG, the
 * makers' raw containers, HEIC. Guarantees: files are opened for reading only, by position, within
 * a budget of bytes and time, so that one hostile file costs neither the run nor its memory; every
 * file under the shoot is counted in exactly one {@link samelight.engine.metadata.Category};
 * results don't depend on the order in which the file system lists files; what is wrong in a file
 * becomes a {@link samelight.engine.frame.Finding}; a value that isn't known stays unknown. The
 * parsing library stays inside this package.
 */
@NullMarked
package samelight.engine.metadata;

import org.jspecify.annotations.NullMarked;
