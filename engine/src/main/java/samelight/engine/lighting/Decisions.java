package samelight.engine.lighting;

import java.util.List;
import java.util.Map;

/**
 * What the photographer decided about groups. Decisions name frames, not groups, so that they
 * outlive every regrouping. Joins are done first, then splits, then moves, each in its order;
 * frames left out leave last.
 *
 * @param references frames that are to be the reference of the group they fall into; of two in one
 *     group the later decision counts
 * @param splits frames at which a new group starts
 * @param joins pairs of frames whose groups are one
 * @param moves frames that belong to the group of another frame
 * @param leftOut frames that belong to no group and get no recipe
 * @param sectionNames names of sections by a frame of theirs; of two in one section the name by the
 *     later frame counts
 */
public record Decisions(
    List<String> references,
    List<String> splits,
    List<Join> joins,
    List<Move> moves,
    List<String> leftOut,
    Map<String, String> sectionNames) {

  /** Why a frame that was left out is in no group. */
  public static final String LEFT_OUT = "left out by you";

  /** No decision yet. */
  public static final Decisions NONE = new Decisions(List.of(), List.of(), List.of(), Map.of());

  /** Two frames whose groups are one. */
  public record Join(String first, String second) {}

  /** A frame that belongs to the group of another; to its own, it forms a group of its own. */
  public record Move(String frame, String to) {}

  /** Copies its collections. */
  public Decisions {
    references = List.copyOf(references);
    splits = List.copyOf(splits);
    joins = List.copyOf(joins);
    moves = List.copyOf(moves);
    leftOut = List.copyOf(leftOut);
    sectionNames = Map.copyOf(sectionNames);
  }

  /** Without moves, and with no frame left out. */
  public Decisions(
      List<String> references,
      List<String> splits,
      List<Join> joins,
      Map<String, String> sectionNames) {
    this(references, splits, joins, List.of(), List.of(), sectionNames);
  }

  /** With these references instead. */
  public Decisions withReferences(List<String> other) {
    return new Decisions(other, splits, joins, moves, leftOut, sectionNames);
  }

  /** With these splits instead. */
  public Decisions withSplits(List<String> other) {
    return new Decisions(references, other, joins, moves, leftOut, sectionNames);
  }

  /** With these joins instead. */
  public Decisions withJoins(List<Join> other) {
    return new Decisions(references, splits, other, moves, leftOut, sectionNames);
  }

  /** With these moves instead. */
  public Decisions withMoves(List<Move> other) {
    return new Decisions(references, splits, joins, other, leftOut, sectionNames);
  }

  /** With these frames left out instead. */
  public Decisions withLeftOut(List<String> other) {
    return new Decisions(references, splits, joins, moves, other, sectionNames);
  }

  /** With these names of sections instead. */
  public Decisions withSectionNames(Map<String, String> other) {
    return new Decisions(references, splits, joins, moves, leftOut, other);
  }
}
