package instep.edit;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import net.jqwik.api.Arbitraries;
import net.jqwik.api.Arbitrary;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.Provide;

class ReelNamesProperties {
    @Property
    void reelsHaveNamesOfTheirOwnThatEveryReaderTakes(@ForAll("reels") List<String> reels) {
        ReelNames names = new ReelNames(reels);
        List<String> written = reels.stream().map(names::of).toList();
        assertThat(written).doesNotHaveDuplicates().allMatch(name -> name.matches("[A-Z0-9_]{1,8}"));
        assertThat(written).doesNotContain("BL", "BLACK", "BARS", "AX");
    }

    @Property
    void aReelThatIsANameAlreadyKeepsIt(@ForAll("reels") List<String> reels) {
        ReelNames names = new ReelNames(reels);
        reels.stream()
                .filter(reel -> reel.matches("[A-Z0-9_]{1,8}")
                        && !List.of("BL", "BLACK", "BARS", "AX").contains(reel))
                .forEach(reel -> assertThat(names.of(reel)).isEqualTo(reel));
    }

    @Provide
    Arbitrary<List<String>> reels() {
        Arbitrary<String> alike = Arbitraries.of("A", "a", "B", "_", "1", "ä", " ")
                .list()
                .ofMinSize(1)
                .ofMaxSize(12)
                .map(letters -> String.join("", letters));
        return Arbitraries.frequencyOf(
                        net.jqwik.api.Tuple.of(9, alike),
                        net.jqwik.api.Tuple.of(1, Arbitraries.of("BL", "bl", "BLACK", "BARS", "AX", "ax")))
                .list()
                .uniqueElements()
                .ofMaxSize(40);
    }
}
