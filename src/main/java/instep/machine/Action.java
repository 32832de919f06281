package instep.machine;

import org.jspecify.annotations.Nullable;

/** Something to do on the way: the executable content of W3C SCXML 1.0, section 4, in this vocabulary. */
public sealed interface Action {
    /** Send the message of that name. */
    record Send(String message) implements Action {}

    /** Put a mark into the journal, stamped with the beginning of the gesture. */
    record Mark(String kind, @Nullable Template text) implements Action {}

    /** Give a variable a new value. */
    record Set(String name, Assignment to) implements Action {}

    /** Raise an event of that name inside the machine. */
    record Raise(String event) implements Action {}

    /** What a variable becomes. */
    sealed interface Assignment {
        /** A {@code Long}, {@code Boolean}, or {@code String}. */
        record Constant(Object value) implements Assignment {}

        /** More or less by so much, kept between the variable's bounds. */
        record Add(long amount) implements Assignment {}

        /** Text with values in it. */
        record Text(Template template) implements Assignment {}
    }
}
