package samelight.cli;

import com.fasterxml.jackson.core.type.TypeReference;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.BufferedReader;
import java.io.IOException;
import java.io.OutputStreamWriter;
import java.io.Writer;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;
import samelight.engine.files.DurableFile;
import samelight.engine.files.ShootPaths;
import samelight.engine.metadata.ShootState;
import samelight.engine.store.FrameStore;
import samelight.engine.store.PlanFile;

/**
 * What {@code group} said, kept beside the plan. Where nothing has changed since, neither a file of
 * the shoot nor what we keep of it nor the program, grouping again would say and write the same, so
 * it is said again. The caller holds the shoot's lock.
 */
final class KeptAnswer {
  /** Where it lies, relative to the shoot. */
  static final String NAME = "samelight/grouped.txt";

  private static final List<String> OURS =
      List.of(PlanFile.NAME, FrameStore.NAME, FrameStore.PIXELS, ShootWork.REPORT, KeptPage.NAME);

  private final ShootPaths paths;
  private final String files;

  private KeptAnswer(ShootPaths paths, String files) {
    this.paths = paths;
    this.files = files;
  }

  /**
   * Looks at the shoot's files as they are now, before they are read.
   *
   * @throws IOException if they can't be listed
   */
  static KeptAnswer of(ShootPaths paths) throws IOException {
    return new KeptAnswer(paths, ShootState.of(paths.root()));
  }

  /**
   * The answer that was given of just this state, or null.
   *
   * @param fields whether those for programs are wanted
   */
  @Nullable Answer read(boolean fields) {
    try (BufferedReader in = Files.newBufferedReader(paths.resolve(NAME), StandardCharsets.UTF_8)) {
      if (!key().equals(in.readLine())) {
        return null;
      }
      ExitStatus status = ExitStatus.valueOf(in.readLine());
      List<String> lines = new ArrayList<>();
      for (int left = Integer.parseInt(in.readLine()); left > 0; left--) {
        lines.add(in.readLine());
      }
      Map<String, @Nullable Object> json = new LinkedHashMap<>();
      if (fields) {
        json.putAll(new ObjectMapper().readValue(in, new TypeReference<Map<String, Object>>() {}));
      }
      return new Answer(status, lines, json);
    } catch (IOException | IllegalArgumentException e) {
      return null; // it is found again
    }
  }

  /** Keeps an answer that was given of this state. */
  void write(Answer answer) {
    String key;
    try {
      key = key();
    } catch (IOException e) {
      return; // it is found again when it is asked for
    }
    DurableFile.write(
        paths.resolve(NAME),
        to -> {
          Writer out = new OutputStreamWriter(to, StandardCharsets.UTF_8);
          out.write(key + "\n" + answer.status().name() + "\n" + answer.lines().size() + "\n");
          for (String line : answer.lines()) {
            out.write(Plain.text(line) + "\n");
          }
          Json.write(out, answer.fields());
          out.flush();
        });
  }

  private String key() throws IOException {
    StringBuilder key = new StringBuilder(files);
    for (String name : OURS) {
      key.append(' ').append(Stamps.of(paths.resolve(name)));
    }
    for (Path map : maps()) {
      key.append(' ').append(map.getFileName()).append(' ').append(Stamps.of(map));
    }
    return Plain.text(key.append(' ').append(Stamps.ofProgram()) + " " + paths.root());
  }

  private List<Path> maps() throws IOException {
    Path folder = paths.resolve(ShootWork.MAPS);
    if (!Files.isDirectory(folder)) {
      return List.of();
    }
    try (Stream<Path> all = Files.list(folder)) {
      return all.sorted().toList();
    }
  }
}
