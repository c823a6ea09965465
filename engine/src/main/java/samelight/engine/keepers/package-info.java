/**
 * Thins a take by evidence and never decides alone.
 *
 * <p>Purpose: {@link samelight.engine.keepers.QualityReader} measures frames on their embedded
 * previews; {@link samelight.engine.keepers.Keepers} ranks the frames of each framing and proposes
 * which to keep. Inputs: frames, framings, what a person rated, must-haves. Guarantees: a frame
 * that a person rated or decided on is never proposed against, nor one alone in its framing, nor
 * one that could not be measured; files are only read.
 */
@NullMarked
package samelight.engine.keepers;

import org.jspecify.annotations.NullMarked;
