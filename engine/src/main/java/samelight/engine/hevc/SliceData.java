package samelight.engine.hevc;

import org.jspecify.annotations.Nullable;

/** Decodes slices' data, coding tree block by coding tree block ([H.265], 7.3.8.1, 9.3.1). */
final class SliceData {
  /** Contexts as they stood at some place. */
  private static final class Saved {
    final byte[] states = new byte[ContextTables.COUNT];
    final int[] rice = new int[4];

    void from(SliceState s) {
      System.arraycopy(s.states, 0, states, 0, states.length);
      System.arraycopy(s.rice, 0, rice, 0, rice.length);
    }

    void to(SliceState s) {
      System.arraycopy(states, 0, s.states, 0, states.length);
      System.arraycopy(rice, 0, s.rice, 0, rice.length);
    }
  }

  private final CodedPicture picture;
  private final TileGrid grid;
  private final PictureParameters pps;

  /** After the second block of a row, for the row below. */
  private final Saved row = new Saved();

  /** After a segment, for a dependent one. */
  private final Saved segment = new Saved();

  // Made once: a stream may have as many slices as blocks.
  private @Nullable CodingTree tree;

  private int region;
  private int blocks;

  SliceData(CodedPicture picture) {
    this.picture = picture;
    this.grid = picture.grid;
    this.pps = picture.pps;
  }

  /** Coding tree blocks decoded so far. */
  int blocks() {
    return blocks;
  }

  /** Decodes a slice segment. */
  void decode(SliceHeader header, ArithmeticDecoder bins) throws HevcException {
    CodingTree t = tree;
    if (t == null) {
      t = new CodingTree(new SliceState(picture, header, bins));
      tree = t;
    }
    SliceState state = t.state();
    state.start(header, bins);
    int place = grid.place[header.address];
    boolean start = true;
    boolean more = true;
    while (more) {
      int address = grid.address[place];
      if (picture.slices[address] != null) {
        throw new HevcException("coding tree blocks decoded once", "block " + address + " again");
      }
      begin(state, place, start);
      start = false;
      picture.slices[address] = header;
      t.block(address);
      blocks++;
      if (pps.wavefront && secondOfRow(address)) {
        row.from(state);
      }
      place++;
      more = !bins.endOfSlice();
      if (more) {
        next(state, place);
      }
    }
    segment.from(state);
  }

  private boolean secondOfRow(int address) {
    return address % picture.sps.ctbsWide() > 0 && grid.rowStart[address - 1];
  }

  /** Sets contexts and quantiser where a segment, a tile or a row of a wavefront begins. */
  private void begin(SliceState state, int place, boolean start) throws HevcException {
    int address = grid.address[place];
    boolean tileStart = newTile(place);
    boolean rowStart = pps.wavefront && grid.rowStart[address];
    boolean sliceStart = start && !state.header.dependent;
    if (sliceStart || tileStart) {
      region++;
    }
    state.region = region;
    if (sliceStart || tileStart || rowStart) {
      state.lastQp = state.header.qp;
    }
    boolean aboveRight = rowStart && !tileStart && aboveRight(address);
    // Decoders don't agree on whose contexts these are.
    HevcException.without(
        start && !sliceStart && rowStart && !tileStart && !aboveRight,
        "a wavefront's row in a dependent segment whose slice doesn't reach above right");
    if (aboveRight) {
      row.to(state);
    } else if (sliceStart || tileStart || rowStart) {
      state.reset();
    } else if (start) {
      segment.to(state);
    }
  }

  private boolean newTile(int place) {
    return place == 0 || grid.tile[grid.address[place]] != grid.tile[grid.address[place - 1]];
  }

  private boolean aboveRight(int address) {
    int wide = picture.sps.ctbsWide();
    int log2 = picture.sps.ctbLog2;
    int x = (address % wide + 1) << log2;
    int y = (address / wide - 1) << log2;
    return picture.available(x, y, region);
  }

  private void next(SliceState state, int place) throws HevcException {
    if (place >= grid.address.length) {
      throw new HevcException("a slice that ends with its picture", "more blocks");
    }
    boolean rowStart = pps.wavefront && grid.rowStart[grid.address[place]];
    if (rowStart || newTile(place)) {
      if (!state.bins.endOfSubset()) {
        throw new HevcException("end_of_subset_one_bit 1", "0");
      }
      state.bins.nextSubset();
    }
  }
}
