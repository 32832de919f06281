/*
 * The foot and the far end of the latency rig: starts the contenders, writes key events into the FIFO that each of them reads, takes what each
 * sends over TCP, and prints how long that took. The contenders take turns, so that what else the machine does hits all of them.
 *
 *   driver EVENTS NAME COMMAND [NAME COMMAND]...
 *
 * A command runs in a shell with FIFO and PORT in its environment, connects to that port of 127.0.0.1, says "ready" on its standard output when it reads
 * the FIFO, and answers each change of a key with one line of LINE bytes. The first contender is what the others are compared with.
 */
#define _GNU_SOURCE
#include <arpa/inet.h>
#include <errno.h>
#include <fcntl.h>
#include <linux/input-event-codes.h>
#include <netinet/tcp.h>
#include <signal.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

enum { MOST = 8, LINE = 7, TURN = 50, PACE_US = 12000, JITTER_US = 3000, SETTLE_US = 500000, PATIENCE_S = 10 };

struct event { int64_t sec, usec; uint16_t type, code; int32_t value; };

struct contender {
    const char *name;
    char path[64];
    int fifo, listener, link;
    pid_t pid;
    double *micros;
    int count;
};

static struct contender all[MOST];
static int contenders;

static void stop(void)
{
    for (int i = 0; i < contenders; i++) {
        if (all[i].pid > 0) {
            kill(-all[i].pid, SIGTERM);
            waitpid(all[i].pid, NULL, 0);
        }
        unlink(all[i].path);
    }
}

static void die(const char *what)
{
    fprintf(stderr, "driver: %s: %s\n", what, errno ? strerror(errno) : "no more");
    exit(1);
}

static int64_t nanos(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return t.tv_sec * 1000000000LL + t.tv_nsec;
}

static void sleep_until(int64_t at)
{
    struct timespec t = { at / 1000000000LL, at % 1000000000LL };
    while (clock_nanosleep(CLOCK_MONOTONIC, TIMER_ABSTIME, &t, NULL) == EINTR)
        ;
}

static int listen_on(int *port)
{
    struct sockaddr_in a = { .sin_family = AF_INET, .sin_addr.s_addr = htonl(INADDR_LOOPBACK) };
    socklen_t length = sizeof a;
    int fd = socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0);
    if (fd < 0 || bind(fd, (struct sockaddr *)&a, sizeof a) || listen(fd, 1) || getsockname(fd, (struct sockaddr *)&a, &length))
        die("listen");
    *port = ntohs(a.sin_port);
    return fd;
}

static void run(const char *command, const char *fifo, int port, int out)
{
    char text[16];
    snprintf(text, sizeof text, "%d", port);
    setenv("FIFO", fifo, 1);
    setenv("PORT", text, 1);
    setpgid(0, 0);
    dup2(out, 1);
    execl("/bin/sh", "sh", "-c", command, (char *)NULL);
    _exit(127);
}

static void wait_ready(int out)
{
    char line[256];
    FILE *says = fdopen(out, "r");
    while (fgets(line, sizeof line, says))
        if (!strcmp(line, "ready\n"))
            return;
    die("a contender ended before it was ready");
}

static void start(struct contender *c, const char *name, const char *command, int events)
{
    int port, out[2];
    c->name = name;
    c->micros = calloc(events, sizeof *c->micros);
    snprintf(c->path, sizeof c->path, "/tmp/rig-%d-%d.fifo", (int)getpid(), (int)(c - all));
    if (mkfifo(c->path, 0600))
        die(c->path);
    c->fifo = open(c->path, O_RDWR | O_CLOEXEC); /* both ends: to the contender the device never goes away */
    c->listener = listen_on(&port);
    if (c->fifo < 0 || pipe2(out, O_CLOEXEC))
        die("open");
    c->pid = fork();
    if (c->pid == 0)
        run(command, c->path, port, out[1]);
    setpgid(c->pid, c->pid);
    close(out[1]);
    wait_ready(out[0]);
    c->link = accept4(c->listener, NULL, NULL, SOCK_CLOEXEC);
    struct timeval patience = { PATIENCE_S, 0 };
    if (c->link < 0 || setsockopt(c->link, SOL_SOCKET, SO_RCVTIMEO, &patience, sizeof patience))
        die("accept");
}

/* What a contender says of its own accord when it starts. */
static void drain(struct contender *c)
{
    char bytes[256];
    while (recv(c->link, bytes, sizeof bytes, MSG_DONTWAIT) > 0)
        ;
}

/* First one key closes and stays closed, then another one closes and opens by turns. */
static void press(struct contender *c)
{
    char line[LINE];
    int key = c->count ? KEY_A : KEY_B, closed = c->count ? c->count % 2 : 1;
    int64_t now = nanos();
    int64_t sec = now / 1000000000LL, usec = now % 1000000000LL / 1000;
    struct event group[3] = {
        { sec, usec, EV_MSC, MSC_SCAN, 0x70004 },
        { sec, usec, EV_KEY, key, closed },
        { sec, usec, EV_SYN, SYN_REPORT, 0 },
    };
    errno = 0;
    int64_t began = nanos();
    if (write(c->fifo, group, sizeof group) != sizeof group)
        die(c->name);
    if (recv(c->link, line, LINE, MSG_WAITALL) != LINE)
        die(c->name);
    c->micros[c->count++] = (nanos() - began) / 1000.0;
}

static int ascending(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return x < y ? -1 : x > y;
}

static void print(void)
{
    static const double parts[] = { 0.5, 0.9, 0.99, 0.999 };
    double base[4];
    printf("%-10s %8s %8s %8s %8s %9s   ratios to %s\n", "us", "p50", "p90", "p99", "p99.9", "first", all[0].name);
    for (int i = 0; i < contenders; i++) {
        struct contender *c = &all[i];
        double first = c->micros[0];
        qsort(c->micros, c->count, sizeof *c->micros, ascending);
        printf("%-10s", c->name);
        for (int p = 0; p < 4; p++) {
            double value = c->micros[(int)(parts[p] * (c->count - 1))];
            if (i == 0)
                base[p] = value;
            printf(" %8.0f", value);
        }
        printf(" %9.0f  ", first);
        for (int p = 0; p < 4; p++)
            printf(" %5.2f", c->micros[(int)(parts[p] * (c->count - 1))] / base[p]);
        printf("   first/median %.1f\n", first / c->micros[(c->count - 1) / 2]);
    }
}

int main(int argc, char **argv)
{
    int events = argc > 1 ? atoi(argv[1]) : 0;
    if (events < 1 || argc < 4 || argc % 2 || argc / 2 - 1 > MOST) {
        fprintf(stderr, "usage: driver EVENTS NAME COMMAND [NAME COMMAND]...\n");
        return 2;
    }
    signal(SIGPIPE, SIG_IGN);
    atexit(stop);
    for (int i = 2; i + 1 < argc; i += 2)
        start(&all[contenders++], argv[i], argv[i + 1], events);
    usleep(SETTLE_US);
    for (int i = 0; i < contenders; i++)
        drain(&all[i]);
    srand(1);
    int64_t next = nanos();
    for (int done = 0; done < events; done += TURN)
        for (int i = 0; i < contenders; i++)
            for (int k = 0; k < TURN && done + k < events; k++) {
                int64_t pace = PACE_US - JITTER_US / 2 + rand() % JITTER_US;
                next = (next > nanos() ? next : nanos()) + pace * 1000;
                sleep_until(next);
                press(&all[i]);
            }
    print();
    return 0;
}
