package instep.machine;

import java.util.List;

/** A structural condition: no expression language. */
public sealed interface Cond {
    /** Always holds. */
    Cond ALWAYS = new All(List.of());

    /** Holds while that state is active. */
    record In(String state) implements Cond {}

    /** Holds when the value of that name equals the constant (a {@code Long}, {@code Boolean} or {@code String}). */
    record Equals(String name, Object constant) implements Cond {}

    /** Holds when the value of that name is a number above the bound. */
    record Above(String name, long bound) implements Cond {}

    /** Holds when the value of that name is a number below the bound. */
    record Below(String name, long bound) implements Cond {}

    /** Holds when the other does not. */
    record Not(Cond cond) implements Cond {}

    /** Holds when one of them does. */
    record Any(List<Cond> conds) implements Cond {
        public Any {
            conds = List.copyOf(conds);
        }
    }

    /** Holds when each of them does. */
    record All(List<Cond> conds) implements Cond {
        public All {
            conds = List.copyOf(conds);
        }
    }
}
