package samelight.engine.copies;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.concurrent.CompletableFuture;

/** What is to be done with one card. */
final class CardWork {
  final Card card;
  final boolean twin;
  final Map<CardFile, List<Target>> needed = new LinkedHashMap<>();
  final Map<CardFile, CopyRecord> known = new HashMap<>();
  final Map<String, String> hashes = new TreeMap<>();
  final List<String> unreadable = new ArrayList<>();
  final Map<CardFile, CompletableFuture<String>> copied = new LinkedHashMap<>();
  int before;

  CardWork(Card card, boolean twin) {
    this.card = card;
    this.twin = twin;
    unreadable.addAll(card.unreadable());
  }
}
