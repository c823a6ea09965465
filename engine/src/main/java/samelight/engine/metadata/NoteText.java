package samelight.engine.metadata;

/**
 * A text that a maker's notes gave.
 *
 * @param name of the tag, for provenance
 */
record NoteText(String text, String name, int tag) {}
