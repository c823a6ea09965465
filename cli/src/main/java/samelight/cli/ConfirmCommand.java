package samelight.cli;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Objects;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Parameters;
import samelight.engine.sidecar.Confirm;
import samelight.engine.sidecar.PropertyName;
import samelight.engine.store.FrameStore;

/** Tells what the raw editor made of a carry. */
@Command(
    name = "confirm",
    description = {
      "Tell for each carried frame whether the raw editor kept what was carried, whether it was"
          + " changed by hand since, or whether the editor ignored it. Writes nothing.",
      "Have the editor read the sidecars again, and save its metadata out, before."
    },
    footerHeading = "%nExample:%n",
    footer = "  samelight confirm 2026-06-13-garden")
final class ConfirmCommand extends ShootCommand {
  private static final int NAMED = 10;

  @Parameters(paramLabel = "SHOOT", description = "A shoot to which something was carried.")
  @Nullable Path shoot;

  @Override
  Answer answer() {
    try (ShootWork work = ShootWork.open(Objects.requireNonNull(shoot))) {
      work.recovered().forEach(this::note);
      return answer(Confirm.of(work.paths().root(), FrameStore.load(work.paths(), false).frames()));
    }
  }

  private static Answer answer(Confirm.Report report) {
    List<String> lines = new ArrayList<>();
    report
        .counts()
        .forEach(
            (state, n) -> lines.add(String.format(Locale.ROOT, "  %,6d  %s", n, state.words())));
    List<String> named = new ArrayList<>();
    List<Object> json = new ArrayList<>();
    for (Confirm.Entry e : report.entries()) {
      List<String> changed = e.changed().stream().map(PropertyName::property).toList();
      if (e.state().attention() || e.state() == Confirm.State.CHANGED_BY_HAND) {
        named.add(
            e.frame()
                + ": "
                + e.state().words()
                + (changed.isEmpty() ? "" : " (" + String.join(", ", changed) + ")"));
      }
      Map<String, @Nullable Object> entry = new LinkedHashMap<>();
      entry.put("frame", e.frame());
      entry.put("sidecar", e.sidecar());
      entry.put("state", e.state().name().toLowerCase(Locale.ROOT));
      entry.put("changed", e.changed().stream().map(Object::toString).toList());
      json.add(entry);
    }
    named.stream().limit(NAMED).forEach(lines::add);
    if (named.size() > NAMED) {
      lines.add("and " + (named.size() - NAMED) + " more, all in --json");
    }
    lines.add(next(report));
    return new Answer(
        report.attention() ? ExitStatus.ATTENTION : ExitStatus.DONE, lines, Map.of("frames", json));
  }

  private static String next(Confirm.Report report) {
    Map<Confirm.State, Integer> counts = report.counts();
    if (counts.isEmpty()) {
      return "Nothing has been carried here, or all of it was reverted.";
    }
    if (counts.containsKey(Confirm.State.IGNORED)) {
      return "Next: have your raw editor read the metadata of the ignored frames again. If it still"
          + " ignores them, it can't be carried to: `samelight revert SHOOT`, and"
          + " `samelight carry SHOOT --print` for a list to work from.";
    }
    if (counts.containsKey(Confirm.State.NOT_SAVED)) {
      return "Next: have your raw editor read the sidecars again and save the metadata out.";
    }
    return "Next: nothing, the round trip is closed. What was changed by hand survives a carry.";
  }
}
