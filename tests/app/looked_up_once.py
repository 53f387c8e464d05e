"""What the library looks up anew with every message and every style, looked up once for what is alike.

A story sends thousands of messages, and with each its library walks through all that a widget's class
descends from; a third of the time of a story goes into such things. What is found is the same.
"""

from functools import cache
from inspect import signature

from textual import _callback
from textual.css.styles import RenderStyles
from textual.message import Message
from textual.message_pump import MessagePump
from textual.reactive import Reactive

_dispatch, _get, _count = MessagePump._get_dispatch_methods, Reactive.__get__, _callback._count_parameters
"""The library's own."""


def look_up_once(patch):
    """Do so until the patch is undone; return a function that forgets what handlers classes have."""
    patch.setattr(MessagePump, "_get_dispatch_methods", _dispatch_methods)
    patch.setattr(Reactive, "__get__", _value)
    patch.setattr(RenderStyles, "get_rule", _rule)
    patch.setattr(_callback, "_count_parameters", _parameters)
    return _handlers.cache_clear


def _dispatch_methods(self, method_name, message):
    plan = _handlers(type(self), type(message), method_name)
    if plan is None:
        yield from _dispatch(self, method_name, message)
        return
    for kind, methods in plan:
        if message._no_default_action:
            return
        for method in methods:
            yield kind, method.__get__(self, kind)


def _value(self, obj, obj_type):
    if obj is not None:
        found = vars(obj).get(self.internal_name, _NOTHING)
        if found is not _NOTHING and not _has(type(obj), self.compute_name):
            return found
    return _get(self, obj, obj_type)


def _rule(self, rule_name, default=None):
    rules = self._inline_styles._rules
    return rules[rule_name] if rule_name in rules else self._base_styles._rules.get(rule_name, default)


def _parameters(func):
    """Return how many parameters a function has, which all that are made of the same code share."""
    code = getattr(func, "__code__", None)
    if code is None or hasattr(func, "__wrapped__"):
        return _count(func)
    if code not in _counted:
        _counted[code] = len(signature(func).parameters)
    return _counted[code]


_NOTHING = object()
_counted = {}


@cache
def _has(kind, name):
    """Return whether a class computes an attribute instead of keeping it."""
    return hasattr(kind, name)


@cache
def _handlers(kind, message, name):
    """Return each class with its handlers for a kind of message, or None where some are choosy."""
    found, known = [], set()
    kinds = [one for one in message.__mro__ if issubclass(one, Message)]
    for cls in kind.__mro__:
        decorated = vars(cls).get("_decorated_handlers") or {}
        methods = []
        for method, selectors in (pair for one in kinds for pair in decorated.get(one, ())):
            if selectors:
                return None
            if method not in known:
                known.add(method)
                methods.append(method)
        named = vars(cls).get(f"_{name}") or vars(cls).get(name)
        if named is not None and not getattr(named, "_textual_on", None):
            methods.append(named)
        if methods:
            found.append((cls, methods))
    return found
