package buswitness.capture;

import buswitness.problem.NoticeLog;

/** A form of evenly spaced samples, opened. */
interface Sampled {
    String form();

    /** Names of the channels. */
    java.util.List<String> channels();

    double periodPicos();

    /** Unit of the samples, as a person writes it. */
    String unit();

    /** Starts at the first sample. */
    SampleReader reader(ByteWindow in, NoticeLog notices);
}
