#!/usr/bin/env python3
"""Many who look at the desk page at once, and some who mean it no good.

    visitors.py PORT COUNT SECONDS

Holds COUNT connections to that port of 127.0.0.1: two of three follow the events as a page does, the third never ends its request, a byte a second. One that is let go comes again after a second. Ends
after SECONDS, or when it is told to, and says how many were there at once and how often one came.
"""
import selectors
import signal
import socket
import sys
import time

PAGE = b"GET /events HTTP/1.1\r\nHost: localhost\r\n\r\n"
ENDLESS = b"GET / HTTP/1.1\r\nHost: localhost\r\nX-Slow: "
AT_ONCE = 20

port, count, seconds = (int(argument) for argument in sys.argv[1:4])
signal.signal(signal.SIGTERM, lambda *_: sys.exit())
there = selectors.DefaultSelector()
waiting = [(0.0, number) for number in range(count)]
came, looks, present = 0, 0, 0


def come(number):
    visitor = socket.create_connection(("127.0.0.1", port), timeout=0.5)
    visitor.sendall(ENDLESS if number % 3 == 0 else PAGE)
    visitor.setblocking(False)
    there.register(visitor, selectors.EVENT_READ, number)


def is_let_go(visitor):
    try:
        return not visitor.recv(65536)
    except BlockingIOError:
        return False
    except OSError:
        return True


def go(visitor, number):
    there.unregister(visitor)
    visitor.close()
    waiting.append((time.monotonic() + 1, number))


try:
    begun = last = time.monotonic()
    while time.monotonic() - begun < seconds:
        now = time.monotonic()
        next_ones = [one for one in waiting if one[0] <= now][:AT_ONCE]
        waiting = [one for one in waiting if one not in next_ones]
        for _, number in next_ones:
            try:
                come(number)
                came += 1
            except OSError:
                waiting.append((now + 1, number))
        for key, _ in there.select(0.02):
            if is_let_go(key.fileobj):
                go(key.fileobj, key.data)
        if now - last >= 1:
            last, looks, present = now, looks + 1, present + len(there.get_map())
            for key in list(there.get_map().values()):
                if key.data % 3 == 0:
                    try:
                        key.fileobj.send(b"x")
                    except OSError:
                        go(key.fileobj, key.data)
finally:
    print(f"visitors: {present // max(looks, 1)} there at once, {came} came in {time.monotonic() - begun:.0f} s")
