package samelight.engine.hevc;

import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;

/**
 * Decodes a picture of HEVC that stands alone: slices of type I of 8 to 12 bits in 4:0:0, 4:2:0,
 * 4:2:2 or 4:4:4, with the tools of version 1 and the range extensions, but without extended
 * precision and aligned bypass bins. An object decodes one picture.
 */
public final class HevcDecoder {
  /**
   * Most luma samples of a picture. Thumbnails in files have 40,000 to 140,000; at this limit
   * decoding takes 20 MB.
   */
  public static final int MAX_SAMPLES = 1 << 20;

  private final int maxSamples;
  private final Map<Integer, byte[]> sequences = new HashMap<>();
  private final Map<Integer, byte[]> pictures = new HashMap<>();
  private @Nullable CodedPicture picture;
  private @Nullable SliceData data;
  private @Nullable SliceHeader slice;
  private int pictureParameters;

  /**
   * A decoder with a limit of its own.
   *
   * @param maxSamples luma samples
   */
  HevcDecoder(int maxSamples) {
    this.maxSamples = maxSamples;
  }

  /**
   * Decodes an item of a file.
   *
   * @param configuration content of its hvcC box
   * @param item its bytes: NAL units behind their lengths
   * @throws HevcException if the stream is broken, larger than {@link #MAX_SAMPLES}, or uses what
   *     isn't decoded
   */
  public static HevcPicture decode(byte[] configuration, byte[] item) throws HevcException {
    HevcConfiguration c = HevcConfiguration.of(configuration);
    HevcDecoder decoder = new HevcDecoder(MAX_SAMPLES);
    decoder.parameterSets(c.units());
    return decoder.decode(NalUnit.split(item, c.lengthSize()));
  }

  /** Takes parameter sets. */
  void parameterSets(List<NalUnit> units) throws HevcException {
    for (NalUnit u : units) {
      if (u.layer() == 0 && (u.type() == NalUnit.SPS || u.type() == NalUnit.PPS)) {
        parameterSet(u);
      }
    }
  }

  private void parameterSet(NalUnit u) throws HevcException {
    if (u.type() == NalUnit.SPS) {
      sequences.put(SequenceParameters.read(u.payload()).id, u.payload());
    } else {
      pictures.put(PictureParameters.read(u.payload()).id, u.payload());
    }
  }

  /** Decodes the first picture of some units. */
  HevcPicture decode(List<NalUnit> units) throws HevcException {
    for (NalUnit u : units) {
      if (u.layer() != 0) {
        continue;
      }
      if (!u.slice()) {
        if (u.type() == NalUnit.SPS || u.type() == NalUnit.PPS) {
          parameterSet(u);
        }
        continue;
      }
      HevcException.without(!u.randomAccess(), "a picture that refers to others");
      if (slice(u)) {
        break;
      }
    }
    CodedPicture p = picture;
    SliceData d = data;
    if (p == null || d == null) {
      throw new HevcException("a slice (HEVC)", "none");
    }
    if (d.blocks() < p.slices.length) {
      throw new HevcException(
          "all coding tree blocks of a picture", d.blocks() + " of " + p.slices.length);
    }
    new Deblocking(p).run();
    new SampleAdaptiveOffset(p).run();
    return HevcPicture.of(p);
  }

  /** Decodes a slice segment; whether the picture was over before it. */
  private boolean slice(NalUnit u) throws HevcException {
    int id = SliceHeader.pictureParameters(u);
    boolean first = u.payload().length > 0 && u.payload()[0] < 0;
    CodedPicture p = picture;
    if (p == null) {
      p = begin(id);
    } else if (first) {
      return true;
    }
    if (id != pictureParameters) {
      throw new HevcException(
          "one picture parameter set a picture", id + " behind " + pictureParameters);
    }
    SliceHeader h = SliceHeader.read(u, p.sps, p.pps, slice);
    slice = h;
    SliceData d = data;
    if (d == null) {
      d = new SliceData(p);
      data = d;
    }
    d.decode(h, new ArithmeticDecoder(u.payload(), h.dataStart));
    return false;
  }

  private CodedPicture begin(int id) throws HevcException {
    byte[] forPicture = pictures.get(id);
    if (forPicture == null) {
      throw new HevcException("picture parameter set " + id, "none");
    }
    PictureParameters pps = PictureParameters.read(forPicture);
    byte[] forSequence = sequences.get(pps.sequence);
    if (forSequence == null) {
      throw new HevcException("sequence parameter set " + pps.sequence, "none");
    }
    SequenceParameters sps = SequenceParameters.read(forSequence);
    if ((long) sps.width * sps.height > maxSamples) {
      throw new HevcException(
          "a picture of at most " + maxSamples + " luma samples", sps.width + " x " + sps.height);
    }
    pictureParameters = id;
    CodedPicture p = new CodedPicture(sps, pps);
    picture = p;
    return p;
  }
}
