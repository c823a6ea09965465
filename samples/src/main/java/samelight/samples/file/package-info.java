/**
 * Real files, written from scratch: TIFF directories, Exif in JPEG, DNG, companions, JSON.
 *
 * <p>Inputs are a picture as pixels and a frame's settings as plain values; outputs are byte
 * arrays. Nothing here touches a disk. What is written follows TIFF 6.0, Exif 2.32 and DNG 1.4, and
 * is read back by metadata-extractor and, where installed, by exiftool in the tests.
 */
@NullMarked
package samelight.samples.file;

import org.jspecify.annotations.NullMarked;
