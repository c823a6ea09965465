package samelight.engine.lighting;

import java.util.List;

/**
 * Consecutive frames of one body with the same content: what a burst or a small move leaves alike.
 *
 * @param base the member that stands for the framing, as an index in the order of the day
 * @param members members as indices in the order of the day, ascending
 * @param gain per member, stops by which it rendered the framing's content brighter than the base
 * @param gainSigma per member, what the patches' spread adds to one standard deviation of {@code
 *     gain}; both pictures' noise comes on top
 * @param redGreen per member, change of log2 red over green against the base, as rendered
 * @param blueGreen per member, change of log2 blue over green against the base, as rendered
 * @param bands amplitude of the bands by which members differ, in stops; 0 where there are none
 */
@SuppressWarnings("ArrayRecordComponent") // columns of a table, private to the package
record Framing(
    int base,
    List<Integer> members,
    double[] gain,
    double[] gainSigma,
    double[] redGreen,
    double[] blueGreen,
    double bands) {}
