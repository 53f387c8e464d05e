"""Style sheets read once, and what they say of a widget looked up once, for all the apps that tests start."""

from textual.app import App
from textual.css.model import RuleSet
from textual.css.stylesheet import Stylesheet
from textual.widget import Widget


def share(patch):
    """Let apps in the same theme share rules of one style sheet, and widgets in one place what these come to.

    Each app would parse its sheet twice, and look through a thousand rules for each of a hundred widgets.
    """
    parse, apply, parsed, sheets, found = Stylesheet._parse_rules, Stylesheet.apply, {}, {}, {}

    def parse_once(self, css, read_from, is_default_rules=False, tie_breaker=0, scope=""):
        given = (css, read_from, is_default_rules, tie_breaker, scope)
        key = (given, frozenset(self._variables.items()))
        if key not in parsed:
            parsed[key] = parse(self, *given)
        return parsed[key]

    def apply_once(self, node, *, animate=False, cache=None):
        rules = self.rules_map
        sheet, _ = sheets.setdefault(id(rules), (len(sheets), rules))
        key = (sheet, *_path(node))
        if key not in found:
            # What the library would keep for widgets beside this one; nothing where their order matters.
            kept = {}
            apply(self, node, animate=animate, cache=kept)
            if kept:
                found[key] = *kept.values(), {name: getattr(node, name) for name in _SEEN}
            return
        said, seen = found[key]
        vars(node).update(seen)
        self.replace_rules(node, said, animate=animate)
        self._process_component_classes(node)

    rules_map = Stylesheet.rules_map.fget
    maps = {}

    def one_map(self):
        if self._rules_map is None:
            key = tuple(map(id, self.rules))
            self._rules_map, _ = maps.setdefault(key, (rules_map(self), self.rules))
        return self._rules_map

    patch.setattr(Stylesheet, "_parse_rules", parse_once)
    patch.setattr(Stylesheet, "rules_map", property(one_map))
    patch.setattr(Stylesheet, "apply", apply_once)
    patch.setattr(RuleSet, "__hash__", object.__hash__)  # the same by identity, and asked for very often


_SEEN = ("_has_hover_style", "_has_focus_within", "_has_order_style", "_has_odd_or_even")
"""What the library notes of the rules that may be a widget's."""


def _path(node):
    """Yield, from a widget up to its app, all that rules may ask for, but for its place among others."""
    while node is not None:
        yield type(node), node._id, frozenset(node._classes)
        if isinstance(node, Widget):
            yield node.mouse_hover, node.has_focus, node.is_disabled, node.allow_focus()
        elif isinstance(node, App):
            yield node.theme, node.app_focus, node.is_inline, node.native_ansi_color, node.no_color
        node = node._parent
