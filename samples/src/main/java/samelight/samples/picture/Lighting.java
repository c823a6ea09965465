package samelight.samples.picture;

import samelight.samples.light.Matrix3;

/**
 * The light on one frame as the body sees it, exposure included.
 *
 * @param subject linear sRGB of a surface to what the body renders, for figures
 * @param ground the same for the place behind them
 * @param other the same for the place's other light
 * @param iso sensitivity, for noise
 * @param bandDepth stops of bright and dark bands across the frame, 0 for none
 * @param bandPhase where the bands begin, 0 to 1
 */
public record Lighting(
    Matrix3 subject,
    Matrix3 ground,
    Matrix3 other,
    double iso,
    double bandDepth,
    double bandPhase) {}
