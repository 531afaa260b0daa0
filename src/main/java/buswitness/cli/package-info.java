/**
 * Arguments, streams and exit status. In: the command line. Out: an exit status 0 to 3 as the README lists them. Only
 * {@code Main.main} exits; streams are handed in. Threads: the main thread.
 */
package buswitness.cli;
