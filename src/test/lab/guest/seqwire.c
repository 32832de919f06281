/* seqwire: a cable between two ports of the kernel's sequencer, as long as the program runs.
 *
 *   seqwire FROM:PORT TO:PORT     numbers of clients and ports, as /proc/asound/seq/clients lists them */
#define _GNU_SOURCE
#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <string.h>
#include <sys/ioctl.h>
#include <sys/types.h>
#include <time.h>
#include <unistd.h>

#include <sound/asequencer.h>

static int address(const char *text, struct snd_seq_addr *to) {
    return sscanf(text, "%hhu:%hhu", &to->client, &to->port) == 2;
}

int main(int argc, char **argv) {
    struct snd_seq_port_subscribe cable = {0};
    if (argc != 3 || !address(argv[1], &cable.sender) || !address(argv[2], &cable.dest)) {
        fputs("usage: seqwire FROM:PORT TO:PORT\n", stderr);
        return 2;
    }
    int fd = open("/dev/snd/seq", O_RDWR | O_CLOEXEC);
    if (fd < 0 || ioctl(fd, SNDRV_SEQ_IOCTL_SUBSCRIBE_PORT, &cable)) {
        fprintf(stderr, "seqwire: %s\n", strerror(errno));
        return 1;
    }
    puts("wired");
    fflush(stdout);
    pause();
    return 0;
}
