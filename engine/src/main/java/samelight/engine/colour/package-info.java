/**
 * White points: chromaticity, correlated colour temperature and Duv, and a camera's neutral.
 *
 * <p>Purpose: turn what a file says of its white balance into kelvin and Duv where that is
 * possible, and say by how much the light differs between two frames. Inputs: chromaticities, CIE
 * 1931, 2&deg; observer; sensor ratios with the matrices of a DNG; Exif LightSource codes. One
 * class holds one published method and names its source. {@link samelight.engine.colour.Planckian}
 * is the default for colour temperature, being the definition itself; the others are kept as its
 * checks. Guarantees: pure functions without state; a white that has no colour temperature gives an
 * empty result, never a guess.
 */
@NullMarked
package samelight.engine.colour;

import org.jspecify.annotations.NullMarked;
