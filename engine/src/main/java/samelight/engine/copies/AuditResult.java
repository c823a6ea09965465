package samelight.engine.copies;

import java.util.List;

/**
 * What an audit found.
 *
 * @param shoots each copied shoot
 * @param copies how many copies of these shoots it can see, in words; one line a shoot
 */
public record AuditResult(List<ShootAudit> shoots, List<String> copies) {
  /** Copies its lists. */
  public AuditResult {
    shoots = List.copyOf(shoots);
    copies = List.copyOf(copies);
  }

  /**
   * One copied shoot; paths are relative to it.
   *
   * @param folder where
   * @param name the shoot's name; empty where only {@code SHA256SUMS} is there
   * @param files how many the manifest names
   * @param right how many of them hold the right bytes
   * @param missing not there
   * @param moved not there, but the same bytes are under another name
   * @param changed there with other bytes
   * @param extra there and not in the manifest; sidecars aside
   * @param sidecars how many sidecars there are, which come with the work
   * @param unreadable could not be read, with the reason
   * @param disagree where the two lists of the copy say different things
   * @param direct whether everything was read past the page cache
   */
  public record ShootAudit(
      String folder,
      String name,
      int files,
      int right,
      List<String> missing,
      List<String> moved,
      List<String> changed,
      List<String> extra,
      int sidecars,
      List<String> unreadable,
      List<String> disagree,
      boolean direct) {
    /** Copies its lists. */
    public ShootAudit {
      missing = List.copyOf(missing);
      moved = List.copyOf(moved);
      changed = List.copyOf(changed);
      extra = List.copyOf(extra);
      unreadable = List.copyOf(unreadable);
      disagree = List.copyOf(disagree);
    }

    /** Whether something differs. */
    public boolean differs() {
      return !missing.isEmpty()
          || !moved.isEmpty()
          || !changed.isEmpty()
          || !extra.isEmpty()
          || !disagree.isEmpty();
    }
  }

  /** Whether something could not be read. */
  public boolean unreadable() {
    return shoots.stream().anyMatch(s -> !s.unreadable().isEmpty());
  }

  /** Whether something differs. */
  public boolean differs() {
    return shoots.stream().anyMatch(ShootAudit::differs);
  }
}
