/**
 * The YAML file to checked settings, every fault with its place. The only package that knows YAML. Imports the core, the
 * edges' settings records and SnakeYAML.
 */
@NullMarked
package instep.config;

import org.jspecify.annotations.NullMarked;
