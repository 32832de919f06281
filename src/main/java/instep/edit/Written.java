package instep.edit;

import java.util.List;

/**
 * A timeline in a format.
 *
 * @param losses what the format could not say, a sentence each
 */
public record Written(List<Document> documents, List<String> losses) {
    public Written {
        documents = List.copyOf(documents);
        losses = List.copyOf(losses);
    }

    /**
     * One file of it.
     *
     * @param tag stands in its name to tell it from the others; empty if there is no need
     */
    public record Document(String tag, String text) {}

    static Written of(String text, List<String> losses) {
        return new Written(List.of(new Document("", text)), losses);
    }
}
