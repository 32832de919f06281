"""The same as baseline.c, in Python."""

import os
import socket
import struct

EVENT = struct.Struct("qqHHi")
EV_KEY = 1

device = os.open(os.environ["FIFO"], os.O_RDONLY)
gear = socket.create_connection(("127.0.0.1", int(os.environ["PORT"])))
gear.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
print("ready", flush=True)
while True:
    for _, _, kind, _, value in EVENT.iter_unpack(os.read(device, 64 * EVENT.size)):
        if kind == EV_KEY:
            gear.sendall(b"CUT 2\r\n" if value else b"CUT 1\r\n")
