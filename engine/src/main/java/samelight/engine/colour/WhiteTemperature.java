package samelight.engine.colour;

import samelight.engine.quantity.Duv;
import samelight.engine.quantity.Kelvin;

/**
 * A white as correlated colour temperature and distance from the Planckian locus; with a {@link
 * Chromaticity} it is convertible both ways.
 *
 * @param kelvin correlated colour temperature
 * @param duv signed distance, positive above the locus (green)
 */
public record WhiteTemperature(Kelvin kelvin, Duv duv) {}
