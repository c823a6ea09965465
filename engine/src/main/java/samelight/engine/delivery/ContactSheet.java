package samelight.engine.delivery;

import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.function.Function;
import org.apache.pdfbox.io.IOUtils;
import org.apache.pdfbox.pdmodel.PDDocument;
import org.apache.pdfbox.pdmodel.PDPage;
import org.apache.pdfbox.pdmodel.PDPageContentStream;
import org.apache.pdfbox.pdmodel.common.PDRectangle;
import org.apache.pdfbox.pdmodel.font.PDFont;
import org.apache.pdfbox.pdmodel.font.PDType0Font;
import org.apache.pdfbox.pdmodel.graphics.image.JPEGFactory;
import org.apache.pdfbox.pdmodel.graphics.image.PDImageXObject;
import org.jspecify.annotations.Nullable;

/**
 * {@code contact-sheet.pdf} of a gallery: small pictures with their numbers, section by section, on
 * A4. Its font comes with the PDF library and is embedded, so that a sheet prints alike everywhere;
 * a character that it lacks becomes a question mark.
 */
final class ContactSheet {
  private static final String FONT = "/org/apache/pdfbox/resources/ttf/LiberationSans-Regular.ttf";
  private static final PDRectangle PAPER = PDRectangle.A4;
  private static final int COLUMNS = 4;
  private static final int ROWS = 6;
  private static final float MARGIN = 36;
  private static final float HEADING = 16;
  private static final float CAPTION = 8;
  private static final float GAP = 8;

  private final PDDocument document;
  private final PDFont font;
  private final String title;
  private int pages;

  private ContactSheet(PDDocument document, PDFont font, String title) {
    this.document = document;
    this.font = font;
    this.title = title;
  }

  /**
   * Writes the sheet.
   *
   * @param small the file of the small picture of each, or null where there is none
   */
  static void write(
      OutputStream out,
      String title,
      List<GalleryEntry> entries,
      Function<GalleryEntry, @Nullable Path> small)
      throws IOException {
    try (PDDocument document = new PDDocument(IOUtils.createTempFileOnlyStreamCache());
        InputStream ttf = Objects.requireNonNull(PDDocument.class.getResourceAsStream(FONT))) {
      PDFont font = PDType0Font.load(document, ttf, true);
      document.setDocumentId((long) title.hashCode()); // else the clock's, and no two files alike
      document.getDocumentInformation().setTitle(title);
      document.getDocumentInformation().setCreator("samelight");
      Map<String, List<GalleryEntry>> sections = new LinkedHashMap<>();
      entries.forEach(e -> sections.computeIfAbsent(e.folder(), f -> new ArrayList<>()).add(e));
      ContactSheet sheet = new ContactSheet(document, font, title);
      for (List<GalleryEntry> own : sections.values()) {
        for (int from = 0; from < own.size(); from += COLUMNS * ROWS) {
          sheet.page(own.subList(from, Math.min(own.size(), from + COLUMNS * ROWS)), small);
        }
      }
      document.save(out);
    }
  }

  private void page(List<GalleryEntry> own, Function<GalleryEntry, @Nullable Path> small)
      throws IOException {
    PDPage page = new PDPage(PAPER);
    document.addPage(page);
    pages++;
    float top = PAPER.getHeight() - MARGIN;
    float width = (PAPER.getWidth() - 2 * MARGIN - (COLUMNS - 1) * GAP) / COLUMNS;
    float height = (top - MARGIN - 2 * HEADING - (ROWS - 1) * GAP) / ROWS;
    try (PDPageContentStream content = new PDPageContentStream(document, page)) {
      text(content, own.get(0).section(), MARGIN, top - HEADING, HEADING, PAPER.getWidth() / 2);
      text(content, title + ", page " + pages, MARGIN, MARGIN / 2, CAPTION, PAPER.getWidth() / 2);
      for (int i = 0; i < own.size(); i++) {
        GalleryEntry e = own.get(i);
        float x = MARGIN + i % COLUMNS * (width + GAP);
        float y = top - 2 * HEADING - (Math.floorDiv(i, COLUMNS) + 1) * (height + GAP) + GAP;
        Path picture = small.apply(e);
        if (picture != null) {
          picture(content, Files.readAllBytes(picture), x, y, width, height);
        }
        String file = e.name().substring(e.folder().length() + 1);
        text(
            content,
            file.substring(0, file.lastIndexOf('.')).replace('_', ' '),
            x,
            y,
            CAPTION,
            width);
      }
    }
  }

  private void picture(
      PDPageContentStream content, byte[] jpeg, float x, float y, float width, float height)
      throws IOException {
    PDImageXObject image = JPEGFactory.createFromByteArray(document, jpeg);
    float room = height - CAPTION - 4;
    float scale = Math.min(width / image.getWidth(), room / image.getHeight());
    float w = image.getWidth() * scale;
    float h = image.getHeight() * scale;
    content.drawImage(image, x, y + CAPTION + 4, w, h);
  }

  private void text(
      PDPageContentStream content, String text, float x, float y, float size, float room)
      throws IOException {
    StringBuilder known = new StringBuilder();
    text.codePoints().forEach(c -> known.appendCodePoint(has(c) ? c : '?'));
    String shown = known.toString();
    while (!shown.isEmpty() && font.getStringWidth(shown) / 1_000 * size > room) {
      shown = shown.substring(0, shown.offsetByCodePoints(shown.length(), -1));
    }
    content.beginText();
    content.setFont(font, size);
    content.newLineAtOffset(x, y);
    content.showText(shown);
    content.endText();
  }

  private boolean has(int c) {
    try {
      return font.encode(Character.toString(c)).length > 0 && c >= ' ';
    } catch (IOException | IllegalArgumentException e) {
      return false;
    }
  }
}
