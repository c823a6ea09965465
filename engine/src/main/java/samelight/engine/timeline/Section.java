package samelight.engine.timeline;

import java.time.LocalDateTime;
import org.jspecify.annotations.Nullable;

/**
 * A stretch of the day. Two sections may overlap in time when two bodies are in two rooms: a frame
 * belongs to its section through its group.
 *
 * @param id id, unique in the shoot
 * @param name name for a person; the photographer may change it
 * @param from shoot time of the first frame, or null where no frame has a time
 * @param to shoot time of the last frame, or null where no frame has a time
 */
public record Section(
    String id, String name, @Nullable LocalDateTime from, @Nullable LocalDateTime to) {}
