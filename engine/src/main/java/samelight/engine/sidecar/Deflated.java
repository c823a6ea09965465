package samelight.engine.sidecar;

import com.fasterxml.jackson.annotation.JsonInclude;
import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.core.StreamReadConstraints;
import com.fasterxml.jackson.databind.DeserializationFeature;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.json.JsonMapper;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.MessageDigest;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Base64;
import java.util.HashMap;
import java.util.HashSet;
import java.util.HexFormat;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.zip.DataFormatException;
import java.util.zip.Deflater;
import java.util.zip.Inflater;
import org.jspecify.annotations.Nullable;
import samelight.engine.files.ContentHash;
import samelight.engine.files.RefusedInputException;

/** Old content as the journal holds it: deflated (RFC 1951 in the wrapping of RFC 1950). */
final class Deflated {
  private Deflated() {}

  static byte[] deflate(byte[] bytes) {
    Deflater deflater = new Deflater(Deflater.BEST_SPEED);
    try {
      deflater.setInput(bytes);
      deflater.finish();
      ByteArrayOutputStream out = new ByteArrayOutputStream(bytes.length / 3 + 64);
      byte[] buffer = new byte[8192];
      while (!deflater.finished()) {
        out.write(buffer, 0, deflater.deflate(buffer));
      }
      return out.toByteArray();
    } finally {
      deflater.end();
    }
  }

  /**
   * The content again.
   *
   * @throws IOException if it is damaged, or larger than a sidecar can be
   */
  static byte[] inflate(byte[] deflated) throws IOException {
    Inflater inflater = new Inflater();
    try {
      inflater.setInput(deflated);
      ByteArrayOutputStream out = new ByteArrayOutputStream(deflated.length * 3);
      byte[] buffer = new byte[8192];
      while (!inflater.finished()) {
        int n = inflater.inflate(buffer);
        if (n == 0 && (inflater.needsInput() || inflater.needsDictionary())) {
          throw new IOException("old content ends too early");
        }
        out.write(buffer, 0, n);
        if (out.size() > XmpPacket.MAX_BYTES) {
          throw new IOException("old content is larger than a sidecar can be");
        }
      }
      return out.toByteArray();
    } catch (DataFormatException e) {
      throw new IOException("old content is damaged", e);
    } finally {
      inflater.end();
    }
  }}
