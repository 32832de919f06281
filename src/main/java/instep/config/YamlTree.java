package instep.config;

import instep.config.Node.Entry;
import instep.config.Node.Mapping;
import instep.config.Node.Scalar;
import instep.config.Node.Sequence;
import instep.machine.Place;
import java.io.StringReader;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.IdentityHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;
import org.yaml.snakeyaml.DumperOptions.FlowStyle;
import org.yaml.snakeyaml.DumperOptions.ScalarStyle;
import org.yaml.snakeyaml.LoaderOptions;
import org.yaml.snakeyaml.Yaml;
import org.yaml.snakeyaml.error.Mark;
import org.yaml.snakeyaml.error.YAMLException;
import org.yaml.snakeyaml.nodes.CollectionNode;
import org.yaml.snakeyaml.nodes.MappingNode;
import org.yaml.snakeyaml.nodes.NodeTuple;
import org.yaml.snakeyaml.nodes.ScalarNode;
import org.yaml.snakeyaml.nodes.SequenceNode;
import org.yaml.snakeyaml.nodes.Tag;

/** From text to nodes. No object is ever made of a tag in the file, and no file can make the tree deep, endless or huge. */
final class YamlTree {
    private static final String TYPOGRAPHIC = "\u201c\u201d\u201e\u201f\u2018\u2019\u201a\u201b\u00ab\u00bb";

    private static final Set<Tag> IMPLICIT = Set.of(
            Tag.STR,
            Tag.INT,
            Tag.FLOAT,
            Tag.BOOL,
            Tag.NULL,
            Tag.TIMESTAMP,
            Tag.MERGE,
            Tag.MAP,
            Tag.SEQ,
            new Tag(Tag.PREFIX + "value"));

    private final SourceText source;
    private final Faults faults;
    private final IdentityHashMap<org.yaml.snakeyaml.nodes.Node, Node> converted = new IdentityHashMap<>();
    private final IdentityHashMap<org.yaml.snakeyaml.nodes.Node, Integer> sizes = new IdentityHashMap<>();
    private boolean overgrown;

    private YamlTree(SourceText source, Faults faults) {
        this.source = source;
        this.faults = faults;
    }

    /**
     * The tree of the text; empty if there is none, with the reason among the faults.
     *
     * @param limits that have counted the files before it
     * @param expected what the text should be
     */
    static Optional<Node> read(SourceText source, YamlLimits limits, Faults faults, String expected) {
        try {
            if (limits.isExceeded(source, faults)) {
                return Optional.empty();
            }
            org.yaml.snakeyaml.nodes.Node root = new Yaml(options()).compose(new StringReader(source.text()));
            if (root == null) {
                faults.add(source.place(0, 0), "the file is empty; expected " + expected);
                return Optional.empty();
            }
            return new YamlTree(source, faults).root(root);
        } catch (YAMLException e) {
            YamlSyntax.add(e, source, faults);
            return Optional.empty();
        }
    }

    /** What the parser itself refuses; its answers lack a place, so {@link YamlLimits} refuses a little earlier. */
    static LoaderOptions options() {
        LoaderOptions options = new LoaderOptions();
        options.setCodePointLimit(4 * YamlLimits.BYTES);
        options.setNestingDepthLimit(2 * YamlLimits.DEPTH);
        options.setMaxAliasesForCollections(2 * YamlLimits.ALIASES);
        options.setAllowRecursiveKeys(false);
        options.setProcessComments(false);
        // Nothing is made of a tag; it is refused with the rest.
        options.setTagInspector(tag -> true);
        return options;
    }

    private Optional<Node> root(org.yaml.snakeyaml.nodes.Node root) {
        Node node = convert(root);
        return overgrown ? Optional.empty() : Optional.of(node);
    }

    private Node convert(org.yaml.snakeyaml.nodes.Node node) {
        Node known = converted.get(node);
        if (known != null) {
            return known;
        }
        Scalar nothing = new Scalar(place(node), "", true);
        if (sizes.putIfAbsent(node, 0) != null) {
            overgrow(node, "this list or map contains itself");
            return nothing;
        }
        if (!IMPLICIT.contains(node.getTag())) {
            faults.add(
                    place(node), "unknown tag " + Words.quote(node.getTag().getValue()) + "; values here have no tags");
        }
        Node made = node instanceof ScalarNode scalar ? scalar(scalar) : collection(node);
        converted.put(node, made);
        return made;
    }

    /** Quotation marks as word processors make them are letters to YAML: gear would be told them, too. */
    private Scalar scalar(ScalarNode node) {
        String text = node.getValue();
        boolean plain = node.getScalarStyle() == ScalarStyle.PLAIN;
        if (plain && !text.isEmpty() && TYPOGRAPHIC.indexOf(text.charAt(0)) >= 0) {
            String bare = text.chars()
                    .filter(letter -> TYPOGRAPHIC.indexOf(letter) < 0)
                    .mapToObj(Character::toString)
                    .collect(Collectors.joining());
            faults.add(
                    place(node),
                    "the quotation mark " + text.charAt(0) + " would be a part of the text; expected straight ones: "
                            + Words.quote(bare));
            return new Scalar(place(node), bare, false);
        }
        return new Scalar(place(node), text, plain);
    }

    private Node collection(org.yaml.snakeyaml.nodes.Node node) {
        Node made = node instanceof MappingNode mapping ? mapping(mapping) : sequence((SequenceNode) node);
        int size = 1;
        for (Object child : ((CollectionNode<?>) node).getValue()) {
            size += child instanceof NodeTuple tuple
                    ? sizes.getOrDefault(tuple.getValueNode(), 0) + 2
                    : sizes.getOrDefault((org.yaml.snakeyaml.nodes.Node) child, 0) + 1;
        }
        if (size > YamlLimits.VALUES) {
            overgrow(node, "with its aliases written out this holds more than " + YamlLimits.VALUES + " values");
            size = 0;
        }
        sizes.put(node, size);
        return made;
    }

    private void overgrow(org.yaml.snakeyaml.nodes.Node node, String why) {
        if (!overgrown) {
            faults.add(place(node), why + "; expected less");
        }
        overgrown = true;
    }

    private Node sequence(SequenceNode node) {
        List<Node> items = new ArrayList<>();
        node.getValue().forEach(item -> items.add(convert(item)));
        return new Sequence(place(node), List.copyOf(items));
    }

    private Node mapping(MappingNode node) {
        Map<String, Place> seen = new HashMap<>();
        List<Entry> entries = new ArrayList<>();
        for (NodeTuple tuple : node.getValue()) {
            Node key = convert(tuple.getKeyNode());
            if (!(key instanceof Scalar scalar)) {
                faults.add(key.place(), "expected a word as key, found " + key.found());
                continue;
            }
            Place before = seen.putIfAbsent(scalar.text(), scalar.place());
            if (before == null) {
                entries.add(new Entry(scalar, convert(tuple.getValueNode())));
            } else {
                faults.add(
                        scalar.place(),
                        "the key " + Words.quote(scalar.text()) + " is already given "
                                + Words.at(before, scalar.place()) + "; expected each key once");
            }
        }
        return new Mapping(place(node), List.copyOf(entries), isBare(node));
    }

    private boolean isBare(MappingNode node) {
        if (node.getFlowStyle() != FlowStyle.FLOW || node.getValue().size() != 1) {
            return false;
        }
        Mark value = node.getValue().get(0).getValueNode().getStartMark();
        return node.getValue().get(0).getKeyNode() instanceof ScalarNode
                && node.getValue().get(0).getValueNode() instanceof ScalarNode scalar
                && scalar.getScalarStyle() == ScalarStyle.PLAIN
                && scalar.getValue().isEmpty()
                && source.before(value.getLine(), value.getColumn()) != ':';
    }

    private Place place(org.yaml.snakeyaml.nodes.Node node) {
        Mark mark = node.getStartMark();
        return source.place(mark.getLine(), mark.getColumn());
    }
}
