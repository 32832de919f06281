# A WebSocket server for the tests, by the Python library "websockets" (Debian python3-websockets), which knows
# nothing of Instep. Prints the port it listens on. Says back each text with "OK " before it, and each binary
# message as it is; answers the word "split" in fragments, "ping" once its own ping is answered, "large" with more
# than the other side takes, and "bye" by closing. With a certificate and its key (files in PEM form) it speaks TLS.
import asyncio
import ssl
import sys

import websockets


async def serve(ws, path=None):
    async for message in ws:
        if isinstance(message, bytes):
            await ws.send(message)
        elif message == "split":
            await ws.send(["one ", "two ", "three"])
        elif message == "ping":
            await asyncio.wait_for(await ws.ping(), 5)
            await ws.send("ponged")
        elif message == "large":
            await ws.send("x" * 10000)
        elif message == "bye":
            await ws.close()
        else:
            await ws.send("OK " + message)


def tls():
    if len(sys.argv) < 3:
        return None
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    context.load_cert_chain(sys.argv[1], sys.argv[2])
    return context


async def main():
    async with websockets.serve(serve, "127.0.0.1", 0, ping_interval=None, ssl=tls()) as server:
        for socket in server.sockets:
            print(socket.getsockname()[1], flush=True)
        await asyncio.get_running_loop().run_in_executor(None, sys.stdin.read)


asyncio.run(main())
