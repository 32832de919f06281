/* sink: stands in for gear on loopback ports and writes down every byte that it is sent.
 *
 *   sink line:PORT:NAME http:PORT:NAME udp:PORT:NAME ...
 *
 * "line" answers each line of text with OK, "http" each request with status 200 and no body and keeps the connection,
 * "udp" answers nothing. Each line of standard output is "NANOS NAME CONNECTION WHAT HEX": the time of CLOCK_MONOTONIC
 * after the bytes were read, the gear, the number of the connection (0 for UDP), one of listen, open, bytes, close, and
 * the bytes. HTTP bodies need a Content-Length; a request without one has no body. */
#define _GNU_SOURCE
#include <arpa/inet.h>
#include <poll.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <time.h>
#include <unistd.h>

enum { MOST_SOCKETS = 64, MOST_BYTES = 65536 };
enum manner { LINE, HTTP, UDP };

struct port {
    enum manner manner;
    char name[32];
    int fd; /* listens, or receives datagrams */
    int connections;
};

struct connection {
    struct port *port;
    int fd, number;
    size_t held;
    char bytes[MOST_BYTES]; /* not answered yet */
};

static struct port ports[8];
static size_t port_count;
static struct connection *connections[MOST_SOCKETS];

static void note(const struct port *port, int connection, const char *what, const char *bytes, ssize_t length) {
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    printf("%lld %s %d %s ", (long long)now.tv_sec * 1000000000 + now.tv_nsec, port->name, connection, what);
    for (ssize_t i = 0; i < length; i++) printf("%02x", (unsigned char)bytes[i]);
    putchar('\n');
    fflush(stdout);
}

static void serve_at(const char *argument) {
    struct port *port = &ports[port_count++];
    char manner[8];
    unsigned short number;
    if (sscanf(argument, "%7[a-z]:%hu:%31s", manner, &number, port->name) != 3) {
        fprintf(stderr, "sink: cannot use '%s'\n", argument);
        exit(2);
    }
    port->manner = !strcmp(manner, "line") ? LINE : !strcmp(manner, "http") ? HTTP : UDP;
    port->fd = socket(AF_INET, (port->manner == UDP ? SOCK_DGRAM : SOCK_STREAM) | SOCK_CLOEXEC, 0);
    int yes = 1;
    setsockopt(port->fd, SOL_SOCKET, SO_REUSEADDR, &yes, sizeof yes);
    struct sockaddr_in address = {.sin_family = AF_INET, .sin_port = htons(number)};
    address.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
    if (bind(port->fd, (struct sockaddr *)&address, sizeof address) || (port->manner != UDP && listen(port->fd, 8))) {
        perror(argument);
        exit(1);
    }
    note(port, 0, "listen", "", 0);
}

static void greet(struct port *port) {
    int fd = accept4(port->fd, NULL, NULL, SOCK_CLOEXEC);
    if (fd < 0) return;
    for (size_t i = 0; i < MOST_SOCKETS; i++)
        if (!connections[i]) {
            connections[i] = calloc(1, sizeof **connections);
            connections[i]->port = port;
            connections[i]->fd = fd;
            connections[i]->number = ++port->connections;
            note(port, port->connections, "open", "", 0);
            return;
        }
    close(fd);
}

/* The length of the first whole line or request that is held; 0 if it is not whole yet. */
static size_t whole(const struct connection *c) {
    if (c->port->manner == LINE) {
        const char *end = memchr(c->bytes, '\n', c->held);
        return end ? (size_t)(end - c->bytes) + 1 : 0;
    }
    const char *blank = memmem(c->bytes, c->held, "\r\n\r\n", 4);
    if (!blank) return 0;
    size_t head = (size_t)(blank - c->bytes) + 4, body = 0;
    for (const char *line = c->bytes; line < blank; line = (char *)memmem(line, head, "\r\n", 2) + 2)
        if (!strncasecmp(line, "content-length:", 15)) body = strtoul(line + 15, NULL, 10);
    return head + body <= c->held ? head + body : 0;
}

static void answer(struct connection *c) {
    static const char ok_line[] = "OK\r\n", ok_http[] = "HTTP/1.1 200 OK\r\nContent-Length: 0\r\n\r\n";
    for (size_t length; (length = whole(c)) > 0;) {
        const char *reply = c->port->manner == LINE ? ok_line : ok_http;
        send(c->fd, reply, strlen(reply), MSG_NOSIGNAL);
        c->held -= length;
        memmove(c->bytes, c->bytes + length, c->held);
    }
}

/* False when the connection is over. */
static int receive(struct connection *c) {
    ssize_t got = recv(c->fd, c->bytes + c->held, MOST_BYTES - c->held, 0);
    if (got <= 0) {
        note(c->port, c->number, "close", "", 0);
        close(c->fd);
        return 0;
    }
    note(c->port, c->number, "bytes", c->bytes + c->held, got);
    c->held += (size_t)got;
    answer(c);
    return 1;
}

static void receive_datagram(struct port *port) {
    static char bytes[MOST_BYTES];
    ssize_t got = recv(port->fd, bytes, sizeof bytes, 0);
    if (got >= 0) note(port, 0, "bytes", bytes, got);
}

static void serve(void) {
    struct pollfd polled[8 + MOST_SOCKETS];
    for (size_t i = 0; i < port_count; i++) polled[i] = (struct pollfd){.fd = ports[i].fd, .events = POLLIN};
    for (size_t i = 0; i < MOST_SOCKETS; i++)
        polled[port_count + i] = (struct pollfd){.fd = connections[i] ? connections[i]->fd : -1, .events = POLLIN};
    if (poll(polled, port_count + MOST_SOCKETS, -1) <= 0) return;
    for (size_t i = 0; i < MOST_SOCKETS; i++)
        if (connections[i] && polled[port_count + i].revents && !receive(connections[i])) {
            free(connections[i]);
            connections[i] = NULL;
        }
    for (size_t i = 0; i < port_count; i++)
        if (polled[i].revents) ports[i].manner == UDP ? receive_datagram(&ports[i]) : greet(&ports[i]);
}

int main(int argc, char **argv) {
    if (argc < 2 || argc > 9) {
        fputs("usage: sink line|http|udp:PORT:NAME ... (at most 8)\n", stderr);
        return 2;
    }
    for (int i = 1; i < argc; i++) serve_at(argv[i]);
    for (;;) serve();
}
