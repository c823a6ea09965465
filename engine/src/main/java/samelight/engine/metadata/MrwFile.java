package samelight.engine.metadata;

import java.io.IOException;
import samelight.engine.frame.CameraNeutral;

/**
 * Minolta's MRW: blocks of a name and a size before the raw data, of which TTW is a TIFF stream and
 * WBG holds levels as shot, R G G B over powers of two; as ExifTool documents it.
 */
final class MrwFile implements Container {
  @Override
  public boolean matches(byte[] head) {
    return head.length >= 8 && head[0] == 0 && head[1] == 'M' && head[2] == 'R' && head[3] == 'M';
  }

  @Override
  public void read(ByteSource source, Collected into) throws IOException {
    long end = Math.min(source.length(), 8 + Box.u32(source, 4));
    long at = 8;
    while (at + 8 <= end) {
      source.budget().step();
      long size = Box.u32(source, at + 4);
      long data = at + 8;
      if (source.u8(at + 1) == 'T' && source.u8(at + 2) == 'T' && source.u8(at + 3) == 'W') {
        TiffFile.embedded(source, data, Math.min(size, end - data), into);
      } else if (source.u8(at + 1) == 'W' && source.u8(at + 2) == 'B' && size >= 12) {
        double[] v = new double[4];
        for (int i = 0; i < 4; i++) {
          v[i] = Box.u16(source, data + 4 + 2L * i) / (double) (64 << (source.u8(data + i) & 15));
        }
        CameraNeutral n = MakerWhitePoint.neutral(v[0], (v[1] + v[2]) / 2, v[3]);
        into.whitePoint = MakerWhitePoint.of(n, 0, "MRW WBG");
      } else if (source.u8(at + 1) == 'P' && source.u8(at + 2) == 'R' && size >= 16) {
        into.height = Box.u16(source, data + 12);
        into.width = Box.u16(source, data + 14);
        into.sizeSource = "MRW PRD";
      }
      at = data + size;
    }
  }
}
