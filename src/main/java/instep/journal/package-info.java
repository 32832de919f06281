/**
 * The record of all that happened, for machines (journal) and for people (event log). Imports the core, Jackson jr and
 * SLF4J with Logback; no other edge.
 */
@NullMarked
package instep.journal;

import org.jspecify.annotations.NullMarked;
