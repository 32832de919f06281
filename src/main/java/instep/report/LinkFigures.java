package instep.report;

/**
 * What became of the messages to a gear during a take.
 *
 * @param up whether its link stood when the take began; true also where the journal does not tell
 * @param sent from a decision until the socket took the message
 * @param answered from there until the gear's first word about it
 * @param confirmed from the decision of a cut until the gear said that it was on air
 * @param missed how many messages were never sent
 * @param refused how many it refused or left without an answer
 * @param losses how often its link broke
 */
public record LinkFigures(
        String gear,
        boolean up,
        Spread sent,
        Spread answered,
        Spread confirmed,
        long missed,
        long refused,
        long losses) {}
