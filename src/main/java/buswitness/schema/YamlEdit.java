package buswitness.schema;

import buswitness.problem.InputFault;
import buswitness.problem.Place;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import org.snakeyaml.engine.v2.api.LoadSettings;
import org.snakeyaml.engine.v2.api.lowlevel.Compose;
import org.snakeyaml.engine.v2.common.FlowStyle;
import org.snakeyaml.engine.v2.exceptions.Mark;
import org.snakeyaml.engine.v2.nodes.CollectionNode;
import org.snakeyaml.engine.v2.nodes.MappingNode;
import org.snakeyaml.engine.v2.nodes.Node;
import org.snakeyaml.engine.v2.nodes.NodeTuple;
import org.snakeyaml.engine.v2.nodes.ScalarNode;
import org.snakeyaml.engine.v2.nodes.SequenceNode;
import org.snakeyaml.engine.v2.nodes.Tag;
import org.snakeyaml.engine.v2.schema.CoreSchema;

/**
 * Changes single values of a YAML text and leaves every other character as it is: comments, blanks, order, quotes and
 * line ends. Edits are noted against the text as it was given and done together by {@link #text()}. A path is the keys
 * from the root down. New entries are trees of {@code Map} (in order) whose leaves are finished YAML text, see
 * {@link YamlText}.
 */
public final class YamlEdit {
    private record Change(int from, int until, String text) {}

    private final String mark;
    private final String text;
    private final String source;
    private final String newline;
    private final Node root;
    private final List<Change> changes = new ArrayList<>();

    /** @throws InputFault as {@link YamlDocument#parse} does */
    public YamlEdit(String whole, String source) {
        YamlDocument.parse(whole, source);
        this.mark = whole.startsWith("\uFEFF") ? "\uFEFF" : "";
        this.text = whole.substring(mark.length());
        this.source = source;
        this.newline = text.contains("\r\n") ? "\r\n" : "\n";
        LoadSettings settings = LoadSettings.builder().setLabel(source).setSchema(new CoreSchema())
                .setCodePointLimit(YamlDocument.MOST_CHARACTERS + 1).build();
        this.root = new Compose(settings).composeString(text).orElseThrow();
    }

    /** Whether anything was changed. */
    public boolean changed() {
        return !changes.isEmpty();
    }

    public boolean has(List<String> path) {
        return find(path) != null;
    }

    /** Puts another value in the place of a value that stands on its own, or of a whole flow collection. */
    public void set(List<String> path, String value) {
        Node node = need(path);
        int from = index(node.getStartMark().orElseThrow());
        int until = index(node.getEndMark().orElseThrow());
        if (isNull(node) && from == until) {
            change(from, from, " " + value);
        } else if (node instanceof CollectionNode<?> c && c.getFlowStyle() == FlowStyle.BLOCK) {
            throw new IllegalArgumentException("only single values and flow collections can be replaced: " + path);
        } else {
            change(from, until, value);
        }
    }

    /** Adds an entry behind the last one of a map, in the map's own style. */
    public void add(List<String> path, String key, Object value) {
        Node node = need(path);
        if (isNull(node)) {
            int at = index(node.getEndMark().orElseThrow());
            if (value instanceof Map) {
                change(lineEnd(at), lineEnd(at), block(lineEnd(at), indentOf(path) + 2, key, value));
            } else {
                change(at, at, " {" + YamlText.flow(key, value) + "}");
            }
            return;
        }
        if (!(node instanceof MappingNode map)) throw fault(node);
        List<NodeTuple> entries = map.getValue();
        if (map.getFlowStyle() == FlowStyle.FLOW) {
            if (entries.isEmpty()) {
                int at = index(map.getStartMark().orElseThrow()) + 1;
                change(at, at, YamlText.flow(key, value));
            } else {
                int at = end(entries.get(entries.size() - 1).getValueNode());
                change(at, at, ", " + YamlText.flow(key, value));
            }
            return;
        }
        int indent = entries.get(0).getKeyNode().getStartMark().orElseThrow().getColumn();
        int at = lineEnd(end(map));
        change(at, at, block(at, indent, key, value));
    }

    /** Adds an item behind the last one of a list. */
    public void addItem(List<String> path, String value) {
        Node node = need(path);
        if (!(node instanceof SequenceNode list)) throw fault(node);
        List<Node> items = list.getValue();
        if (list.getFlowStyle() == FlowStyle.FLOW) {
            int at = items.isEmpty() ? index(list.getStartMark().orElseThrow()) + 1 : end(items.get(items.size() - 1));
            change(at, at, (items.isEmpty() ? "" : ", ") + value);
            return;
        }
        int indent = list.getStartMark().orElseThrow().getColumn();
        int at = lineEnd(end(list));
        change(at, at, (needsBreak(at) ? newline : "") + " ".repeat(indent) + "- " + value + newline);
    }

    /** The text with every change made. */
    public String text() {
        List<Change> order = new ArrayList<>(changes);
        order.sort((a, b) -> Integer.compare(a.from, b.from));
        StringBuilder out = new StringBuilder(mark);
        int at = 0;
        for (Change c : order) {
            if (c.from < at) throw new IllegalStateException("two changes overlap");
            out.append(text, at, c.from).append(c.text);
            at = c.until;
        }
        return out.append(text, at, text.length()).toString();
    }

    private void change(int from, int until, String value) {
        changes.add(new Change(from, until, value));
    }

    /** The last line of a text may lack its end; the first insertion there gives it one. */
    private String block(int at, int indent, String key, Object value) {
        String lines = YamlText.block(indent, key, value).replace("\n", newline);
        return needsBreak(at) ? newline + lines : lines;
    }

    private boolean needsBreak(int at) {
        return at == text.length() && !text.endsWith("\n") && changes.stream().noneMatch(c -> c.from == at);
    }

    private Node need(List<String> path) {
        Node node = find(path);
        if (node == null) throw new IllegalArgumentException("nothing stands at " + path);
        return node;
    }

    private Node find(List<String> path) {
        Node node = root;
        for (String key : path) {
            Node next = null;
            if (node instanceof MappingNode map) {
                for (NodeTuple t : map.getValue()) {
                    if (((ScalarNode) t.getKeyNode()).getValue().equals(key)) next = t.getValueNode();
                }
            }
            if (next == null) return null;
            node = next;
        }
        return node;
    }

    /** Column of the last key of a path. */
    private int indentOf(List<String> path) {
        Node parent = need(path.subList(0, path.size() - 1));
        for (NodeTuple t : ((MappingNode) parent).getValue()) {
            if (((ScalarNode) t.getKeyNode()).getValue().equals(path.get(path.size() - 1))) {
                return t.getKeyNode().getStartMark().orElseThrow().getColumn();
            }
        }
        return 0;
    }

    private static boolean isNull(Node node) {
        return node instanceof ScalarNode scalar && scalar.getTag().equals(Tag.NULL);
    }

    /** End of the last character that belongs to a node: a block's own end mark lies behind the comments below it. */
    private int end(Node node) {
        if (node instanceof CollectionNode<?> c && c.getFlowStyle() == FlowStyle.BLOCK && !c.getValue().isEmpty()) {
            Object last = c.getValue().get(c.getValue().size() - 1);
            return end(last instanceof NodeTuple t ? t.getValueNode() : (Node) last);
        }
        return index(node.getEndMark().orElseThrow());
    }

    /** Start of the line behind the one that holds this index; the text's length where it is the last. */
    private int lineEnd(int at) {
        if (at > 0 && at <= text.length() && text.charAt(at - 1) == '\n') return at;
        int end = text.indexOf('\n', at);
        return end < 0 ? text.length() : end + 1;
    }

    /** Marks count code points. */
    private int index(Mark at) {
        return text.offsetByCodePoints(0, at.getIndex());
    }

    private InputFault fault(Node node) {
        Place at = YamlDocument.place(node.getStartMark(), source);
        return new InputFault(at, "nothing can be added here", "write it as a map");
    }
}
