package instep.command;

import picocli.CommandLine;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.ParameterException;

/** Which takes of a journal are meant, and what is to be made of them. */
final class TakeOptions extends TakeChoice {
    @Mixin
    private CutlistWishes wishes = new CutlistWishes();

    CutlistWishes wishes() {
        return wishes;
    }

    @Override
    void check(CommandLine line) {
        super.check(line);
        wishes.faults().stream().findFirst().ifPresent(fault -> {
            throw new ParameterException(line, fault);
        });
    }
}
