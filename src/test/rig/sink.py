"""Stands for the gear of the example configuration: takes what comes over TCP and UDP and stays silent. Prints its ports: mixer, recorder, lamp."""

import selectors
import socket

selector = selectors.DefaultSelector()


def accept(server):
    link, _ = server.accept()
    selector.register(link, selectors.EVENT_READ, take)


def take(link):
    try:
        ended = not link.recv(4096)
    except OSError:
        ended = True
    if ended:
        selector.unregister(link)
        link.close()


servers = [socket.create_server(("127.0.0.1", 0)) for _ in range(2)]
lamp = socket.socket(socket.AF_INET, socket.SOCK_DGRAM)
lamp.bind(("127.0.0.1", 0))
for server in servers:
    selector.register(server, selectors.EVENT_READ, accept)
selector.register(lamp, selectors.EVENT_READ, lambda s: s.recv(4096))
print(*(s.getsockname()[1] for s in [*servers, lamp]), flush=True)
while True:
    for key, _ in selector.select():
        key.data(key.fileobj)
