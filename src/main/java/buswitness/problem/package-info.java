/**
 * Places, faults in the user's input and bounded logs of them.
 * In: nothing of ours. Out: {@link buswitness.problem.InputFault}, the only exception that reaches a user, always one
 * line that says what, where and what to do. Threads: immutable records are free to share; a log has one writer.
 */
package buswitness.problem;
