package samelight.engine.lighting;

import samelight.engine.likeness.SharedContent;

/**
 * Two framings that show the same things.
 *
 * @param from number of the first framing
 * @param to number of the second framing
 * @param shared what the second's base shows of the first's
 */
record LightLink(int from, int to, SharedContent shared) {}
