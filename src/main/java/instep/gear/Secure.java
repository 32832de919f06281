package instep.gear;

import io.netty.channel.Channel;
import io.netty.handler.ssl.SslHandler;
import io.netty.util.concurrent.Future;
import java.io.IOException;
import java.io.InputStream;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.security.GeneralSecurityException;
import java.security.KeyStore;
import java.security.cert.Certificate;
import java.security.cert.CertificateFactory;
import java.util.Optional;
import java.util.concurrent.Executor;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.ThreadPoolExecutor;
import java.util.concurrent.TimeUnit;
import javax.net.ssl.SSLContext;
import javax.net.ssl.SSLEngine;
import javax.net.ssl.SSLParameters;
import javax.net.ssl.TrustManager;
import javax.net.ssl.TrustManagerFactory;
import javax.net.ssl.X509ExtendedTrustManager;
import org.jspecify.annotations.Nullable;

/**
 * TLS towards one host. What takes long in agreeing on keys is done on a thread of its own, which ends when it is not needed; what is said later is
 * encrypted on the loop, where it is said. Made on any thread, used on the loop's.
 */
final class Secure {
    private static final Executor LABOUR = labour();

    private final SSLContext context;
    private final String host;
    private final int port;

    private Secure(SSLContext context, String host, int port) {
        this.context = context;
        this.host = host;
        this.port = port;
    }

    private static Executor labour() {
        ThreadPoolExecutor one =
                new ThreadPoolExecutor(1, 1, 1, TimeUnit.SECONDS, new LinkedBlockingQueue<>(), task -> {
                    Thread thread = new Thread(task, "tls");
                    thread.setDaemon(true);
                    return thread;
                });
        one.allowCoreThreadTimeOut(true);
        return one;
    }

    /** Null where there is no TLS. Blocks on the file of certificates. */
    static @Nullable Secure to(GearSettings.Networked gear, Optional<Tls> tls) throws UnfitException {
        if (tls.isEmpty()) {
            return null;
        }
        try {
            SSLContext context = SSLContext.getInstance("TLS");
            context.init(null, new TrustManager[] {trust(tls.get().trust())}, null);
            return new Secure(context, gear.host(), gear.port());
        } catch (NoSuchFileException e) {
            throw new UnfitException("there is no file of certificates " + e.getFile());
        } catch (IOException | GeneralSecurityException e) {
            throw new UnfitException("the certificates to trust cannot be read"
                    + tls.get().trust().map(f -> " from " + f).orElse("") + " (" + e.getMessage() + ")");
        }
    }

    private static TrustManager trust(Optional<Path> file) throws IOException, GeneralSecurityException {
        TrustManagerFactory factory = TrustManagerFactory.getInstance("PKIX");
        factory.init(file.isPresent() ? store(file.get()) : null);
        return new ValidNow((X509ExtendedTrustManager) factory.getTrustManagers()[0]);
    }

    private static KeyStore store(Path file) throws IOException, GeneralSecurityException {
        KeyStore store = KeyStore.getInstance("PKCS12");
        store.load(null, null);
        try (InputStream in = Files.newInputStream(file)) {
            for (Certificate one : CertificateFactory.getInstance("X.509").generateCertificates(in)) {
                store.setCertificateEntry("trusted " + store.size(), one);
            }
        }
        if (store.size() == 0) {
            throw new IOException("there is none in it");
        }
        return store;
    }

    /** Puts it between the socket and whatever is in the pipeline by then. */
    void wire(Channel channel) {
        SSLEngine engine = context.createSSLEngine(host, port);
        engine.setUseClientMode(true);
        SSLParameters parameters = engine.getSSLParameters();
        parameters.setEndpointIdentificationAlgorithm(
                "HTTPS"); // the host's name or address, as in RFC 9110, section 4.3.4
        engine.setSSLParameters(parameters);
        SslHandler handler = new SslHandler(engine, LABOUR);
        handler.setHandshakeTimeoutMillis(Net.CONNECT_TIMEOUT_MILLIS);
        channel.pipeline().addFirst(handler);
    }

    /** Done when both sides have agreed. */
    static Future<?> agreed(Channel connected) {
        return connected.pipeline().get(SslHandler.class).handshakeFuture();
    }
}
