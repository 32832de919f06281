/* The least that can be done: read an event, send a line. For the latency rig; see driver.c for what it is told and has to say. */
#include <arpa/inet.h>
#include <fcntl.h>
#include <linux/input-event-codes.h>
#include <netinet/in.h>
#include <netinet/tcp.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <sys/socket.h>
#include <unistd.h>

struct event { int64_t sec, usec; uint16_t type, code; int32_t value; };

int main(void)
{
    struct sockaddr_in far = { .sin_family = AF_INET, .sin_port = htons(atoi(getenv("PORT"))), .sin_addr.s_addr = htonl(INADDR_LOOPBACK) };
    struct event events[64];
    int yes = 1;
    int device = open(getenv("FIFO"), O_RDONLY);
    int gear = socket(AF_INET, SOCK_STREAM, 0);
    setsockopt(gear, IPPROTO_TCP, TCP_NODELAY, &yes, sizeof yes);
    if (device < 0 || connect(gear, (struct sockaddr *)&far, sizeof far))
        return 1;
    puts("ready");
    fflush(stdout);
    for (ssize_t got; (got = read(device, events, sizeof events)) > 0;)
        for (size_t i = 0; i < got / sizeof *events; i++)
            if (events[i].type == EV_KEY)
                send(gear, events[i].value ? "CUT 2\r\n" : "CUT 1\r\n", 7, 0);
    return 0;
}
