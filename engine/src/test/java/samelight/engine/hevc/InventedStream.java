package samelight.engine.hevc;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.jspecify.annotations.Nullable;

/**
 * A stream of invented syntax: parameter sets with tools thrown by dice, then slices whose bins are
 * made up while they are decoded ({@link InventingBins}). It uses what no encoder at hand does: raw
 * blocks, tiles, dependent segments, lists of chroma offsets, cross-component prediction, the other
 * range extensions.
 *
 * <p>{@link #main} writes streams for other decoders to decode.
 */
final class InventedStream {
  private static final int CLEAN_ACCESS = 21;
  private static final byte[] START = {0, 0, 0, 1};

  private final Random random;
  private final ByteArrayOutputStream out = new ByteArrayOutputStream();

  private final int chroma;
  private final int depth;
  private final int chromaDepth;
  private final int ctbLog2;
  private final int minBlockLog2;
  private final int minTransformLog2;
  private final int maxTransformLog2;
  private final int width;
  private final int height;
  private final boolean tiles;
  private final boolean wavefront;
  private final boolean dependent;
  private final boolean sao;
  private final boolean deblockingOverride;
  private final boolean chromaOffsets;
  private final boolean chromaLists;
  private final boolean extensions;
  private final boolean acrossSlices;
  private final List<String> tools = new ArrayList<>();
  private boolean scaled;
  private final int type;

  /**
   * Throws the dice.
   *
   * @param seed of the dice
   * @param chroma chroma_format_idc
   * @param depth bits of luma
   * @param chromaDepth bits of chroma
   * @param extensions whether range extensions may be used
   */
  InventedStream(long seed, int chroma, int depth, int chromaDepth, boolean extensions) {
    this.random = new Random(seed);
    this.chroma = chroma;
    this.depth = depth;
    this.chromaDepth = chromaDepth;
    this.extensions = extensions;
    this.ctbLog2 = 4 + random.nextInt(2);
    this.minBlockLog2 = 3 + random.nextInt(ctbLog2 - 3);
    this.minTransformLog2 = 2 + random.nextInt(minBlockLog2 - 2);
    this.maxTransformLog2 =
        minTransformLog2 + random.nextInt(Math.min(5, ctbLog2) - minTransformLog2 + 1);
    int unit = 1 << minBlockLog2;
    this.width = unit * ((56 + random.nextInt(30)) / unit);
    this.height = unit * ((40 + random.nextInt(30)) / unit);
    this.tiles = random.nextInt(3) == 0;
    this.wavefront = !tiles && random.nextInt(3) == 0;
    this.dependent = random.nextBoolean();
    this.sao = random.nextInt(3) > 0;
    this.deblockingOverride = random.nextBoolean();
    this.chromaOffsets = random.nextBoolean();
    this.chromaLists = extensions && chroma != 0 && random.nextBoolean();
    this.acrossSlices = random.nextBoolean();
    this.type = random.nextInt(3) == 0 ? CLEAN_ACCESS : NalUnit.IDR_N_LP;
  }

  private boolean tool(String name, boolean on) {
    if (on) {
      tools.add(name);
    }
    return on;
  }

  private boolean dice(String name) {
    return tool(name, random.nextBoolean());
  }

  private void unit(int type, byte[] payload) {
    out.writeBytes(START);
    out.write(type << 1);
    out.write(1);
    int zeros = 0;
    for (byte b : payload) {
      if (zeros >= 2 && (b & 0xFF) <= 3) {
        out.write(3);
        zeros = 0;
      }
      out.write(b);
      zeros = b == 0 ? zeros + 1 : 0;
    }
  }

  /** Writes the whole stream, in the form of [H.265], Annex B. */
  byte[] write() throws HevcException {
    unit(32, video());
    byte[] sps = sequence();
    unit(NalUnit.SPS, sps);
    byte[] pps = picture();
    unit(NalUnit.PPS, pps);
    SequenceParameters s = SequenceParameters.read(sps);
    PictureParameters p = PictureParameters.read(pps);
    slices(s, p);
    return out.toByteArray();
  }

  /** What the dice chose. */
  List<String> tools() {
    return tools;
  }

  private void profile(BitWriter b) {
    b.bits(extensions ? 4 : 1, 8);
    b.bits(extensions ? 0x0800_0000L : 0x6000_0000L, 32);
    b.bits(0, 48);
    b.bits(120, 8);
  }

  private byte[] video() {
    BitWriter b = new BitWriter();
    b.bits(0, 4);
    b.bits(3, 2);
    b.bits(0, 6);
    b.bits(0, 3);
    b.bit(1);
    b.bits(0xFFFF, 16);
    profile(b);
    b.bit(1);
    b.ue(0);
    b.ue(0);
    b.ue(0);
    b.bits(0, 6);
    b.ue(0);
    b.bit(0);
    b.bit(0);
    b.stop();
    return b.bytes();
  }

  private byte[] sequence() {
    BitWriter b = new BitWriter();
    b.bits(0, 4);
    b.bits(0, 3);
    b.bit(1);
    profile(b);
    b.ue(0);
    b.ue(chroma);
    if (chroma == 3) {
      b.bit(0);
    }
    b.ue(width);
    b.ue(height);
    b.bit(0);
    b.ue(depth - 8);
    b.ue(chromaDepth - 8);
    b.ue(4);
    b.bit(1);
    b.ue(0);
    b.ue(0);
    b.ue(0);
    b.ue(minBlockLog2 - 3);
    b.ue(ctbLog2 - minBlockLog2);
    b.ue(minTransformLog2 - 2);
    b.ue(maxTransformLog2 - minTransformLog2);
    b.ue(0);
    b.ue(random.nextInt(ctbLog2 - minTransformLog2 + 1));
    scaled = dice("scaling");
    scaling(b, scaled);
    b.bit(0);
    b.flag(tool("sao", sao));
    raw(b);
    b.ue(0);
    b.bit(0);
    b.bit(0);
    b.flag(dice("strong smoothing"));
    b.bit(0);
    b.flag(extensions);
    if (extensions) {
      b.bits(0x80, 8);
      b.flag(dice("rotation"));
      b.flag(dice("skip context"));
      b.flag(dice("implicit differences"));
      b.bit(0);
      b.bit(0);
      b.flag(tool("no smoothing", random.nextInt(4) == 0));
      b.bit(0);
      b.flag(dice("persistent rice"));
      b.bit(0);
    }
    b.stop();
    return b.bytes();
  }

  private void scaling(BitWriter b, boolean on) {
    b.flag(on);
    if (on) {
      boolean own = dice("own lists");
      b.flag(own);
      if (own) {
        lists(b);
      }
    }
  }

  private void lists(BitWriter b) {
    for (int size = 0; size < 4; size++) {
      for (int matrix = 0; matrix < 6; matrix += size == 3 ? 3 : 1) {
        boolean coded = random.nextBoolean();
        b.flag(coded);
        if (!coded) {
          b.ue(random.nextInt(matrix / (size == 3 ? 3 : 1) + 1));
          continue;
        }
        int next = 8;
        if (size > 1) {
          int dc = 8 + random.nextInt(40);
          b.se(dc - 8);
          next = dc;
        }
        for (int i = 0; i < (size == 0 ? 16 : 64); i++) {
          int value = 8 + random.nextInt(40);
          b.se(value - next);
          next = value;
        }
      }
    }
  }

  private void raw(BitWriter b) {
    boolean on = dice("raw blocks");
    b.flag(on);
    if (on) {
      b.bits(random.nextInt(depth), 4);
      b.bits(random.nextInt(chromaDepth), 4);
      int most = Math.min(5, ctbLog2);
      int least = minBlockLog2 + random.nextInt(most - minBlockLog2 + 1);
      b.ue(least - 3);
      b.ue(random.nextInt(most - least + 1));
      b.flag(dice("raw blocks unfiltered"));
    }
  }

  private byte[] picture() {
    BitWriter b = new BitWriter();
    b.ue(0);
    b.ue(0);
    b.flag(dependent);
    b.bit(0);
    b.bits(0, 3);
    b.flag(dice("hidden signs"));
    b.bit(0);
    b.ue(0);
    b.ue(0);
    b.se(random.nextInt(10) - 4);
    b.bit(0);
    boolean skip = dice("transform skip");
    b.flag(skip);
    boolean delta = dice("QP deltas");
    b.flag(delta);
    if (delta) {
      b.ue(random.nextInt(ctbLog2 - minBlockLog2 + 1));
    }
    b.se(random.nextInt(9) - 4);
    b.se(random.nextInt(9) - 4);
    b.flag(tool("slice chroma offsets", chromaOffsets));
    b.bits(0, 2);
    b.flag(dice("lossless blocks"));
    b.flag(tool("tiles", tiles));
    b.flag(tool("wavefront", wavefront));
    if (tiles) {
      tiles(b);
    }
    b.flag(acrossSlices);
    b.bit(1);
    b.flag(deblockingOverride);
    boolean off = random.nextInt(4) == 0;
    b.flag(tool("deblocking off", off));
    if (!off) {
      b.se(random.nextInt(13) - 6);
      b.se(random.nextInt(13) - 6);
    }
    boolean lists = scaled && random.nextInt(3) == 0;
    b.flag(lists);
    if (lists) {
      lists(b);
    }
    b.bit(0);
    b.ue(0);
    b.bit(0);
    b.flag(extensions);
    if (extensions) {
      b.bits(0x80, 8);
      if (skip) {
        b.ue(random.nextInt(maxTransformLog2 - 1));
      }
      b.flag(tool("cross-component", chroma == 3 && random.nextInt(4) > 0));
      b.flag(tool("chroma offset lists", chromaLists));
      if (chromaLists) {
        b.ue(random.nextInt(ctbLog2 - minBlockLog2 + 1));
        int last = random.nextBoolean() ? 0 : 5;
        b.ue(last);
        for (int i = 0; i <= last; i++) {
          b.se(random.nextInt(13) - 6);
          b.se(random.nextInt(13) - 6);
        }
      }
      b.ue(random.nextInt(Math.max(0, depth - 10) + 1));
      b.ue(random.nextInt(Math.max(0, chromaDepth - 10) + 1));
    }
    b.stop();
    return b.bytes();
  }

  private void tiles(BitWriter b) {
    int wide = (width + (1 << ctbLog2) - 1) >> ctbLog2;
    int high = (height + (1 << ctbLog2) - 1) >> ctbLog2;
    int columns = 1 + random.nextInt(wide);
    int rows = 1 + random.nextInt(high);
    b.ue(columns - 1);
    b.ue(rows - 1);
    boolean even = random.nextBoolean();
    b.flag(even);
    if (!even) {
      for (int i = 0; i < columns - 1; i++) {
        b.ue(i == 0 ? wide - columns : 0);
      }
      for (int i = 0; i < rows - 1; i++) {
        b.ue(i == 0 ? high - rows : 0);
      }
    }
    b.flag(random.nextBoolean());
  }

  private void slices(SequenceParameters s, PictureParameters p) throws HevcException {
    CodedPicture picture = new CodedPicture(s, p);
    SliceData data = new SliceData(picture);
    int all = picture.slices.length;
    @Nullable SliceHeader previous = null;
    int place = 0;
    while (place < all) {
      int length = length(picture, place, all);
      Head head = head(picture.grid.address[place], place > 0, all, p);
      NalUnit plain = new NalUnit(type, 0, payload(head, List.of(), new byte[0]));
      SliceHeader h = SliceHeader.read(plain, s, p, previous);
      previous = h;
      InventingBins bins = new InventingBins(random, length, 0.08 + random.nextInt(3) * 0.12);
      data.decode(h, bins);
      unit(type, payload(head, bins.subsets(), bins.bytes()));
      place += length;
    }
  }

  /** How many blocks a segment may have where it begins ([H.265], 6.3.1, 7.4.7.1). */
  private int length(CodedPicture picture, int place, int all) {
    TileGrid grid = picture.grid;
    List<Integer> allowed = new ArrayList<>();
    boolean inRow = wavefront && !grid.rowStart[grid.address[place]];
    for (int n = 1; n < all - place; n++) {
      int next = grid.address[place + n];
      boolean tileEnds = grid.tile[next] != grid.tile[grid.address[place + n - 1]];
      if (!tiles || tileEnds) {
        allowed.add(n);
      }
      if (inRow && grid.rowStart[next]) {
        return allowed.get(random.nextInt(allowed.size()));
      }
    }
    allowed.add(all - place);
    return random.nextInt(3) == 0 ? all - place : allowed.get(random.nextInt(allowed.size()));
  }

  /** What a slice segment's header says. */
  private record Head(
      int address,
      int addressBits,
      boolean follows,
      boolean saoLuma,
      boolean saoChroma,
      int qp,
      int cb,
      int cr,
      boolean lists,
      boolean override,
      boolean deblockingOff,
      int beta,
      int tc,
      boolean across) {}

  private Head head(int address, boolean mayFollow, int all, PictureParameters p) {
    boolean override = deblockingOverride && random.nextBoolean();
    return new Head(
        address,
        32 - Integer.numberOfLeadingZeros(all - 1),
        mayFollow && dependent && tool("dependent segments", random.nextBoolean()),
        sao && random.nextInt(4) > 0,
        sao && chroma != 0 && random.nextInt(4) > 0,
        random.nextInt(11) - 5,
        random.nextInt(9) - 4,
        random.nextInt(9) - 4,
        random.nextInt(4) > 0,
        override,
        override ? random.nextInt(3) == 0 : p.deblockingOff,
        random.nextInt(13) - 6,
        random.nextInt(13) - 6,
        random.nextBoolean());
  }

  private byte[] payload(Head h, List<Integer> subsets, byte[] data) {
    BitWriter b = new BitWriter();
    b.flag(h.address == 0);
    b.bit(0);
    b.ue(0);
    if (h.address != 0) {
      if (dependent) {
        b.flag(h.follows);
      }
      b.bits(h.address, h.addressBits);
    }
    if (!h.follows) {
      independent(b, h);
    }
    if (tiles || wavefront) {
      entryPoints(b, subsets, data);
    }
    b.stop();
    byte[] header = b.bytes();
    byte[] all = java.util.Arrays.copyOf(header, header.length + data.length);
    System.arraycopy(data, 0, all, header.length, data.length);
    return all;
  }

  private void independent(BitWriter b, Head h) {
    b.ue(2);
    if (type == CLEAN_ACCESS) {
      b.bits(0, 8);
      b.bit(0);
      b.ue(0);
      b.ue(0);
    }
    if (sao) {
      b.flag(h.saoLuma);
      if (chroma != 0) {
        b.flag(h.saoChroma);
      }
    }
    b.se(h.qp);
    if (chromaOffsets) {
      b.se(h.cb);
      b.se(h.cr);
    }
    if (chromaLists) {
      b.flag(h.lists);
    }
    if (deblockingOverride) {
      b.flag(h.override);
      if (h.override) {
        b.flag(h.deblockingOff);
        if (!h.deblockingOff) {
          b.se(h.beta);
          b.se(h.tc);
        }
      }
    }
    if (acrossSlices && (h.saoLuma || h.saoChroma || !h.deblockingOff)) {
      b.flag(h.across);
    }
  }

  /** Sizes of the subsets but the last, emulation prevention bytes counted in. */
  private static void entryPoints(BitWriter b, List<Integer> subsets, byte[] data) {
    b.ue(subsets.size());
    if (subsets.isEmpty()) {
      return;
    }
    b.ue(31);
    int zeros = 0;
    int size = 0;
    int next = 0;
    for (int i = 0; i < data.length && next < subsets.size(); i++) {
      if (i == subsets.get(next)) {
        b.bits(size - 1, 32);
        size = 0;
        next++;
      }
      if (zeros >= 2 && (data[i] & 0xFF) <= 3) {
        size++;
        zeros = 0;
      }
      size++;
      zeros = data[i] == 0 ? zeros + 1 : 0;
    }
  }

  /** Arguments: a folder, the first seed, and how many streams to write into it. */
  public static void main(String[] args) throws IOException {
    int[] depths = {8, 8, 10, 12};
    int first = Integer.parseInt(args[1]);
    for (int seed = first; seed < first + Integer.parseInt(args[2]); seed++) {
      int depth = depths[seed / 4 % 4];
      InventedStream s = new InventedStream(seed, seed % 4, depth, depth, seed % 3 > 0);
      Files.write(Path.of(args[0], "invented-" + seed + ".hevc"), s.write());
      System.out.println(seed + " " + s.tools());
    }
  }
}
