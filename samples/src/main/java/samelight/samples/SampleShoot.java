package samelight.samples;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.ByteOrder;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.time.LocalDateTime;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;
import samelight.samples.camera.Body;
import samelight.samples.camera.Sensor;
import samelight.samples.day.DaySimulation;
import samelight.samples.day.Shot;
import samelight.samples.file.Companions;
import samelight.samples.file.DngFile;
import samelight.samples.file.FrameTags;
import samelight.samples.file.JpegEncoder;
import samelight.samples.file.JpegFile;
import samelight.samples.file.Picture;
import samelight.samples.light.Chromaticity;
import samelight.samples.light.Matrix3;
import samelight.samples.picture.Lighting;
import samelight.samples.picture.Renderer;

/**
 * Writes a whole invented shoot: frames into a folder, the truth about them into a file elsewhere.
 *
 * <p>Fails before writing if the folder is not empty or would hold the truth file; never
 * overwrites.
 */
public final class SampleShoot {

  /** Ten in the morning of the first day: a Saturday in June. */
  private static final LocalDateTime MORNING = LocalDateTime.of(2027, 6, 12, 10, 0);

  private static final int RAW_BLOCK = 8;

  /** Raw value of mid-grey: three stops below the white level, as sensors are usually rated. */
  private static final double RAW_SCALE = DngFile.WHITE_LEVEL / (0.18 * 8);

  private final ShootOptions options;
  private final DaySimulation simulation;
  private final Map<String, byte[]> curves = new HashMap<>();
  private final Map<String, Integer> numbers = new HashMap<>();
  private final ThreadLocal<Tools> tools;

  private record Tools(Renderer renderer, JpegEncoder encoder) {}

  private SampleShoot(ShootOptions options) {
    this.options = options;
    simulation =
        new DaySimulation(
            options.seed(),
            options.bodies(),
            options.troubles(),
            options.extras(),
            options.greyCard());
    for (Body b : simulation.bodies()) {
      curves.put(b.id(), Renderer.table(b.curve()));
      numbers.put(b.id(), b.firstNumber());
    }
    tools =
        ThreadLocal.withInitial(
            () -> new Tools(new Renderer(options.width(), options.height()), new JpegEncoder()));
  }

  /**
   * Makes a shoot.
   *
   * @param shoot folder for the frames; made if missing, refused if not empty
   * @param truth file for the truth; outside the shoot, refused if it exists
   * @throws IOException if something cannot be written, or if a path is refused
   */
  public static void write(ShootOptions options, Path shoot, Path truth) throws IOException {
    Path folder = shoot.toAbsolutePath().normalize();
    Path file = truth.toAbsolutePath().normalize();
    if (file.startsWith(folder)) {
      throw new IOException("the truth file must lie outside the shoot, got " + truth);
    }
    if (Files.exists(file)) {
      throw new IOException("the truth file must not exist yet: " + truth);
    }
    if (Files.exists(folder)) {
      try (Stream<Path> inside = Files.list(folder)) {
        if (inside.findAny().isPresent()) {
          throw new IOException("the shoot's folder must be empty: " + shoot);
        }
      }
    }
    Files.createDirectories(folder);
    Files.createDirectories(file.getParent());
    new SampleShoot(options).run(folder, file);
  }

  private void run(Path shoot, Path truth) throws IOException {
    ExecutorService workers = Executors.newFixedThreadPool(options.threads());
    try (TruthWriter out = new TruthWriter(truth, options, simulation.bodies())) {
      int left = options.frames();
      for (int day = 0; left > 0; day++) {
        int frames = Math.min(left, DaySimulation.LONGEST_DAY);
        left -= frames;
        List<Future<?>> pending = new ArrayList<>();
        int index = 0;
        for (Shot shot : simulation.shots(day, frames)) {
          Names names = name(shot, index++);
          out.frame(shot, names.file, names.paired, names.companion);
          pending.add(workers.submit(() -> write(shoot, shot, names)));
        }
        for (Future<?> f : pending) {
          f.get();
        }
      }
    } catch (ExecutionException e) {
      if (e.getCause() instanceof UncheckedIOException io) {
        throw io.getCause();
      }
      throw new IllegalStateException("rendering failed", e.getCause());
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      throw new IOException("interrupted while writing the shoot", e);
    } finally {
      workers.shutdownNow();
    }
  }

  /** File names of one frame, relative to the shoot, with forward slashes. */
  private record Names(String file, @Nullable String paired, @Nullable String companion) {}

  private Names name(Shot shot, int index) {
    Body b = shot.body();
    boolean raw =
        switch (options.kind()) {
          case JPEG -> false;
          case DNG -> true;
          case MIXED -> !b.id().equals("B");
        };
    String stem = stem(b);
    boolean extras = options.extras();
    String companion = null;
    if (extras && index % 61 == 30) {
      companion = stem + ".WAV";
    } else if (extras && index % 83 == 40) {
      companion = stem(b) + ".MP4";
    }
    boolean paired = extras && raw && shot.framing() % 7 == 3;
    return new Names(stem + (raw ? ".DNG" : ".JPG"), paired ? stem + ".JPG" : null, companion);
  }

  /** Folder and name by the rules of DCF: numbers run from 0001 to 9999, then a new folder. */
  private String stem(Body b) {
    int n = numbers.merge(b.id(), 1, Integer::sum) - 2;
    return String.format(
        Locale.ROOT,
        "%s/%03d%s/%s%04d",
        b.folder(),
        101 + n / 9999,
        (b.maker() + "XXXXX").substring(0, 5).toUpperCase(Locale.ROOT),
        b.prefix(),
        n % 9999 + 1);
  }

  private void write(Path shoot, Shot shot, Names names) {
    Tools t = tools.get();
    FrameTags tags = tags(shot);
    Picture picture =
        t.renderer.render(
            shot.composition(),
            lighting(shot),
            java.util.Objects.requireNonNull(curves.get(shot.body().id())),
            shot.orientation(),
            shot.noiseSeed());
    if (names.file.endsWith(".DNG")) {
      create(shoot, names.file, DngFile.encode(tags, picture, raw(shot, t.renderer), t.encoder));
      if (names.paired != null) {
        create(shoot, names.paired, jpeg(shot, tags, picture, t.encoder));
      }
    } else {
      create(shoot, names.file, jpeg(shot, tags, picture, t.encoder));
    }
    if (names.companion != null) {
      create(
          shoot,
          names.companion,
          names.companion.endsWith(".WAV") ? Companions.voiceNote() : Companions.clip());
    }
  }

  private static byte[] jpeg(Shot shot, FrameTags tags, Picture picture, JpegEncoder encoder) {
    ByteOrder order = shot.body().id().equals("B") ? ByteOrder.LITTLE_ENDIAN : ByteOrder.BIG_ENDIAN;
    return JpegFile.encode(tags, picture, encoder, order);
  }

  private static void create(Path shoot, String name, byte[] bytes) {
    Path file = shoot.resolve(name);
    try {
      Files.createDirectories(file.getParent());
      Files.write(file, bytes, StandardOpenOption.CREATE_NEW, StandardOpenOption.WRITE);
    } catch (IOException e) {
      throw new UncheckedIOException("cannot write " + file, e);
    }
  }

  private static Lighting lighting(Shot s) {
    Sensor sensor = s.body().sensor();
    Chromaticity asShot = s.asShot().white();
    double reach = s.gain() - s.subject().ev100();
    return new Lighting(
        scaled(sensor.rendering(s.subject().white(), asShot), s.gain()),
        scaled(sensor.rendering(s.ground().white(), asShot), s.ground().ev100() + reach),
        scaled(sensor.rendering(s.other().white(), asShot), s.other().ev100() + reach),
        s.exposure().iso(),
        s.bandDepth(),
        (s.noiseSeed() & 1023) / 1024.0);
  }

  private static Matrix3 scaled(Matrix3 m, double stops) {
    return m.blend(StrictMath.pow(2, stops), m, 0);
  }

  private DngFile.Raw raw(Shot shot, Renderer renderer) {
    Sensor sensor = shot.body().sensor();
    Chromaticity asShot = shot.asShot().white();
    float[] linear = renderer.linearBlocks(RAW_BLOCK);
    Matrix3 toCamera = sensor.fromCamera(asShot).inverse();
    double green = sensor.white(asShot)[1];
    short[] values = new short[linear.length];
    for (int i = 0; i < linear.length; i += 3) {
      double[] cam = toCamera.times(new double[] {linear[i], linear[i + 1], linear[i + 2]});
      for (int k = 0; k < 3; k++) {
        double v = cam[k] / green * RAW_SCALE;
        values[i + k] = (short) StrictMath.round(Math.max(0, Math.min(DngFile.WHITE_LEVEL, v)));
      }
    }
    return new DngFile.Raw(
        options.width() / RAW_BLOCK,
        options.height() / RAW_BLOCK,
        values,
        sensor.neutral(asShot),
        shot.body().profile().lampMatrix(),
        shot.body().profile().dayMatrix());
  }

  private static FrameTags tags(Shot s) {
    Body b = s.body();
    long nanos = StrictMath.round(b.shown(s.seconds()) * 1e9);
    return new FrameTags(
        b.maker(),
        b.model(),
        b.serial(),
        s.lens().name(),
        s.lens().millimetres(),
        MORNING.plusDays(7L * s.day()).plusNanos(nanos),
        b.subSecondDigits(),
        b.utcOffset().isEmpty() ? null : b.utcOffset(),
        s.exposure().markedTime(),
        s.exposure().markedFNumber(),
        s.exposure().markedIso(),
        s.aperturePriority() ? 3 : 1,
        s.bracket() != null ? 2 : s.aperturePriority() ? 0 : 1,
        s.bias(),
        5,
        s.preset() != null ? s.preset() : 0,
        s.fired() ? 0x09 : 0x10,
        s.preset() != null ? 1 : 0,
        s.orientation());
  }
}
