package instep.gear;

import java.nio.file.Path;
import java.util.Optional;

/**
 * That a connection is encrypted, and whom it trusts. The other side must show a certificate for the very host that was called, valid now and signed by
 * an authority that is trusted; there is no setting that accepts anything less.
 *
 * @param trust a file of certificates in PEM form (RFC 7468), which are trusted in place of the authorities that this machine's Java knows
 */
public record Tls(Optional<Path> trust) {}
