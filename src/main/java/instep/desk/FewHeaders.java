package instep.desk;

import io.netty.handler.codec.http.DefaultHttpHeaders;
import io.netty.handler.codec.http.HttpHeaders;
import io.netty.handler.codec.http.HttpHeadersFactory;
import io.netty.handler.codec.http.TooLongHttpHeaderException;

/** The headers of a request, as many as a browser sends and some more: thousands of short ones would need thirty times the memory of their bytes. */
final class FewHeaders extends DefaultHttpHeaders {
    static final int MOST = 64;

    /** Makes them for each request. */
    static final HttpHeadersFactory FACTORY = new HttpHeadersFactory() {
        @Override
        public HttpHeaders newHeaders() {
            return new FewHeaders();
        }

        @Override
        public HttpHeaders newEmptyHeaders() {
            return new FewHeaders();
        }
    };

    @Override
    public HttpHeaders add(CharSequence name, Object value) {
        few();
        return super.add(name, value);
    }

    @Override
    public HttpHeaders add(String name, Object value) {
        few();
        return super.add(name, value);
    }

    private void few() {
        if (size() >= MOST) {
            throw new TooLongHttpHeaderException("more than " + MOST + " headers");
        }
    }
}
