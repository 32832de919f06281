package instep.rehearsal;

import static org.assertj.core.api.Assertions.assertThat;

import org.junit.jupiter.api.Test;

class PlacesTest {
    @Test
    void findsThePlaceOfEachNumberAndOfNoOther() {
        Places places = new Places();
        assertThat(places.of(1)).isEqualTo(-1);
        for (int place = 0; place < 5_000; place++) {
            places.add(3L * place + 1);
        }
        for (int place = 0; place < 5_000; place++) {
            assertThat(places.of(3L * place + 1)).isEqualTo(place);
            assertThat(places.of(3L * place)).isEqualTo(-1);
        }
        assertThat(places.of(-1)).isEqualTo(-1);
        assertThat(places.of(Long.MAX_VALUE)).isEqualTo(-1);
    }

    @Test
    void findsTheLatestWhereNumbersBeginAgain() {
        Places places = new Places();
        for (long seq : new long[] {1, 5, 9, 2, 5}) {
            places.add(seq);
        }
        assertThat(places.of(2)).isEqualTo(3);
        assertThat(places.of(5)).isEqualTo(4);
        assertThat(places.of(9)).isEqualTo(-1);
    }
}
