/**
 * The invented wedding day: its acts, its light, and the photographers who chase both.
 *
 * <p>Scenario: two photographers at a wedding in a former paper mill with a barn, a courtyard and a
 * lake. A script gives acts with places and light over time; the simulation plays the photographers
 * frame by frame (dials, meters, white balance, flash) and yields shots, each with everything that
 * is needed to render it and everything that is true about it. Same seed, same day. Places, people,
 * makers and numbers are invented; nothing here knows how frames are grouped or matched.
 */
@NullMarked
package samelight.samples.day;

import org.jspecify.annotations.NullMarked;
