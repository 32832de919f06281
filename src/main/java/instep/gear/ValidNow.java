package instep.gear;

import java.net.Socket;
import java.security.cert.CertificateException;
import java.security.cert.X509Certificate;
import javax.net.ssl.SSLEngine;
import javax.net.ssl.X509ExtendedTrustManager;

/** Trusts as another does, but never a certificate that is out of date: Java does not look at the dates of one that is itself among the trusted. */
final class ValidNow extends X509ExtendedTrustManager {
    private final X509ExtendedTrustManager usual;

    ValidNow(X509ExtendedTrustManager usual) {
        this.usual = usual;
    }

    @Override
    public void checkServerTrusted(X509Certificate[] chain, String type, SSLEngine engine) throws CertificateException {
        usual.checkServerTrusted(chain, type, engine);
        chain[0].checkValidity();
    }

    @Override
    public void checkServerTrusted(X509Certificate[] chain, String type, Socket socket) throws CertificateException {
        usual.checkServerTrusted(chain, type, socket);
        chain[0].checkValidity();
    }

    @Override
    public void checkServerTrusted(X509Certificate[] chain, String type) throws CertificateException {
        throw new CertificateException("whose it is cannot be checked here");
    }

    @Override
    public void checkClientTrusted(X509Certificate[] chain, String type, Socket socket) throws CertificateException {
        throw new CertificateException("no client is served");
    }

    @Override
    public void checkClientTrusted(X509Certificate[] chain, String type, SSLEngine engine) throws CertificateException {
        throw new CertificateException("no client is served");
    }

    @Override
    public void checkClientTrusted(X509Certificate[] chain, String type) throws CertificateException {
        throw new CertificateException("no client is served");
    }

    @Override
    public X509Certificate[] getAcceptedIssuers() {
        return usual.getAcceptedIssuers();
    }
}
