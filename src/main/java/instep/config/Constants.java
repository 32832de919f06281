package instep.config;

import instep.config.Node.Scalar;
import java.math.BigInteger;
import java.util.Optional;

/** Reads values that a machine keeps or compares with: whole numbers, true and false, text. */
final class Constants {
    private Constants() {}

    /** A {@code Long}, {@code Boolean} or {@code String}. */
    static Object read(Node node, Scalars scalars) {
        String form = "a whole number, true, false or text";
        if (!(node instanceof Scalar scalar) || scalar.isNull()) {
            scalars.expected(node, form);
            return "";
        }
        if (scalars.refuseOldBoolean(scalar) || scalars.refuseLeadingZero(scalar)) {
            return "";
        }
        Optional<Boolean> flag = Scalars.flag(scalar);
        if (flag.isPresent()) {
            return flag.get();
        }
        Optional<BigInteger> number = Scalars.integer(scalar);
        if (number.isPresent()
                ? number.get().bitLength() >= Long.SIZE
                : Scalars.number(scalar).isPresent()) {
            scalars.expected(node, form);
        }
        return number.isPresent() ? (Object) number.get().longValue() : scalar.text();
    }
}
