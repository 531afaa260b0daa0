/**
 * Our YAML documents: text to checked immutable plans. In: a layout's text. Out: {@link buswitness.schema.Layout},
 * or an {@link buswitness.problem.InputFault} with file, line, column and the nearest known word. Threads: immutable.
 */
package buswitness.schema;
