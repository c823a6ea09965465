package samelight.engine.match;

import java.util.List;
import samelight.engine.quantity.Ev;

/**
 * Why a match is what it is.
 *
 * @param settings EV100 of the frame minus EV100 of the reference, from exact steps, and with what
 *     lenses lose where the shoot showed it
 * @param light light of the frame minus light of the reference
 * @param method what estimated the light, with its source
 * @param witnesses frames whose pictures spoke for this match, at most a dozen
 * @param notes further inputs in words, one a line
 */
public record Evidence(
    Ev settings, Ev light, String method, List<String> witnesses, List<String> notes) {
  /** Copies its lists. */
  public Evidence {
    witnesses = List.copyOf(witnesses);
    notes = List.copyOf(notes);
  }
}
