package samelight.samples.file;

import java.time.LocalDateTime;
import org.jspecify.annotations.Nullable;

/**
 * What a camera writes about one frame, in Exif's own terms.
 *
 * @param maker Make
 * @param model Model
 * @param serial BodySerialNumber
 * @param lens LensModel
 * @param focalMillimetres FocalLength
 * @param taken DateTimeOriginal with its fraction, as the body's clock shows it
 * @param subSecondDigits digits of SubSecTimeOriginal, 1 to 3
 * @param utcOffset OffsetTimeOriginal such as "+02:00", or null for none
 * @param time marked exposure time: seconds such as "0.8", or "1/125"
 * @param fNumber marked f-number such as "5.6"
 * @param iso marked sensitivity
 * @param program ExposureProgram: 1 manual, 3 aperture priority
 * @param exposureMode ExposureMode: 0 auto, 1 manual, 2 bracket
 * @param biasSixths ExposureBiasValue in sixths of a stop
 * @param metering MeteringMode: 5 pattern, 2 centre-weighted
 * @param lightSource LightSource: 0 unknown, 1 daylight, 3 tungsten, 10 cloudy, ...
 * @param flash Flash bits
 * @param whiteBalance WhiteBalance: 0 automatic, 1 manual
 * @param orientation Orientation: 1 upright, 6 or 8 turned
 */
public record FrameTags(
    String maker,
    String model,
    String serial,
    String lens,
    int focalMillimetres,
    LocalDateTime taken,
    int subSecondDigits,
    @Nullable String utcOffset,
    String time,
    String fNumber,
    int iso,
    int program,
    int exposureMode,
    int biasSixths,
    int metering,
    int lightSource,
    int flash,
    int whiteBalance,
    int orientation) {}
