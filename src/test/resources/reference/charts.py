#!/usr/bin/env python3
"""Makes random charts, has Qt SCXML play them, and prints both: charts.py COUNT > charts.txt

With a second word, charts.py COUNT delays > delays.txt, states also have transitions that are taken by themselves after a while: in SCXML a delayed
<send> on entry, with a <cancel> on exit. Between the events time passes: +250 stands for so many milliseconds.

Qt's is a general-purpose implementation of W3C SCXML 1.0. Build trace.cpp beside this file first. On Debian:

  apt-get install qt6-scxml-dev qt6-base-dev g++
  I=/usr/include/$(uname -m)-linux-gnu/qt6
  g++ -fPIC -std=c++17 -I$I -I$I/QtCore -I$I/QtScxml -I$I/QtQml -I$I/QtNetwork trace.cpp -o trace -lQt6Core -lQt6Scxml
"""
import os
import random
import subprocess
import sys
import tempfile

HERE = os.path.dirname(os.path.abspath(__file__))
EVENTS = ["e", "f", "f.g", "f.g.h", "k"]
DESCRIPTORS = ["e", "f", "f.g", "f.*", "f.g.h", "k", "e, k", "*"]
RAISED = ["r", "r.s", "q"]


class State:
    def __init__(self, kind, name, parent):
        self.kind, self.name, self.parent = kind, name, parent
        self.children, self.transitions = [], []
        self.initial = self.default = None
        self.enter, self.exit = [], []

    def inside(self, other):
        above = self.parent
        while above is not None and above is not other:
            above = above.parent
        return above is other

    def all(self):
        yield self
        for child in self.children:
            yield from child.all()


class Chart:
    def __init__(self, seed, delays):
        self.dice = random.Random(seed)
        self.delays = delays
        self.late = 0
        self.names = 0
        self.root = State("state", "machine", None)
        self.root.children = [self.grow(self.root, 1) for _ in range(self.dice.randint(2, 3))]
        if self.dice.random() < 0.3:
            self.root.children.append(self.make("final", self.root))
        self.states = [s for s in self.root.all() if s is not self.root]
        self.real = [s for s in self.states if s.kind != "history" and s.kind != "deep history"]
        for state in self.states:
            self.connect(state)

    def make(self, kind, parent):
        self.names += 1
        return State(kind, "s%d" % self.names, parent)

    def grow(self, parent, depth):
        dice = self.dice
        kind = "parallel" if depth < 4 and dice.random() < 0.25 else "state"
        state = self.make(kind, parent)
        if depth < 4 and (kind == "parallel" or dice.random() < 0.5):
            state.children = [self.grow(state, depth + 1) for _ in range(dice.randint(1 + (kind == "state"), 3))]
            if kind == "state" and dice.random() < 0.4:
                state.children.insert(dice.randint(1, len(state.children)), self.make("final", state))
            if kind == "state" and dice.random() < 0.4:
                state.children.append(self.make(dice.choice(["history", "deep history"]), state))
        return state

    def connect(self, state):
        dice = self.dice
        if "history" in state.kind:
            shallow = [s for s in state.parent.children if s in self.real]
            deep = [s for s in self.real if s.inside(state.parent)]
            state.default = dice.choice(shallow if state.kind == "history" else deep)
            return
        if state.children and state.kind == "state" and dice.random() < 0.4:
            state.initial = dice.choice([s for s in self.real if s.inside(state)])
        for content in (state.enter, state.exit):
            if dice.random() < 0.15:
                content.append(dice.choice(RAISED))
        if state.kind == "final":
            return
        for _ in range(dice.choice([0, 1, 1, 2, 3])):
            state.transitions.append(self.transition(state))
        if self.delays and dice.random() < 0.5:
            state.transitions.append(self.delayed(state))

    def transition(self, state):
        dice = self.dice
        # What is late is an event to Qt, which a star would hear.
        descriptors = DESCRIPTORS[:-1] if self.delays else DESCRIPTORS
        t = {"events": dice.choice(descriptors), "cond": None, "raise": [], "targets": [], "internal": False, "after": None}
        chance = dice.random()
        if chance < 0.12:
            t["events"] = None
        elif chance < 0.27:
            t["events"] = dice.choice(["r", "r.s", "q"])
        elif chance < 0.37:
            done = [s for s in self.states if any(c.kind == "final" for c in s.children) or s.kind == "parallel"]
            if done:
                t["events"] = "done.state." + dice.choice(done).name
        if t["events"] is None or dice.random() < 0.2:
            t["cond"] = (dice.random() < 0.5, dice.choice(self.real).name)
        chance = dice.random()
        if chance < 0.15 and t["events"] is not None:
            pass
        elif chance < 0.35 and self.pair():
            t["targets"] = self.pair()
        else:
            t["targets"] = [dice.choice([s for s in self.states])]
        t["internal"] = bool(t["targets"]) and dice.random() < 0.3
        if dice.random() < 0.1:
            t["raise"].append(dice.choice(RAISED))
        return t

    def delayed(self, state):
        dice = self.dice
        t = self.transition(state)
        t["events"], t["after"], t["late"] = None, dice.randint(20, 900), "late.n%d" % self.late
        t["cond"] = (dice.random() < 0.5, dice.choice(self.real).name) if dice.random() < 0.3 else None
        self.late += 1
        return t

    def pair(self):
        parallels = [s for s in self.real if s.kind == "parallel" and len(s.children) > 1]
        if not parallels:
            return None
        regions = self.dice.sample(self.dice.choice(parallels).children, 2)
        return [self.dice.choice([s for s in region.all() if s in self.real]) for region in regions]

    def text(self):
        lines = []

        def write(state, indent):
            pad = "  " * indent
            if "history" in state.kind:
                lines.append("%s%s %s -> %s" % (pad, state.kind, state.name, state.default.name))
                return
            lines.append(pad + state.kind + " " + state.name + (" initial " + state.initial.name if state.initial else ""))
            lines.extend("%s  enter raise %s" % (pad, e) for e in state.enter)
            lines.extend("%s  exit raise %s" % (pad, e) for e in state.exit)
            for t in state.transitions:
                line = "always" if t["events"] is None else "on " + t["events"]
                if t["cond"]:
                    line += " if %sin(%s)" % ("not " if t["cond"][0] else "", t["cond"][1])
                if t["targets"]:
                    line += " -> " + " ".join(s.name for s in t["targets"])
                line += " internal" if t["internal"] else ""
                line += " after %dms" % t["after"] if t["after"] else ""
                line += "".join(" do raise " + e for e in t["raise"])
                lines.append(pad + "  " + line)
            for child in state.children:
                write(child, indent + 1)

        for child in self.root.children:
            write(child, 0)
        return "\n".join(lines)

    def scxml(self):
        number = iter(range(10000))

        def log(label):
            return '<log label="%s"/>' % label

        def raises(events):
            return "".join('<raise event="%s"/>' % e for e in events)

        def write(state):
            if "history" in state.kind:
                next(number)
                kind = "deep" if state.kind.startswith("deep") else "shallow"
                return '<history id="%s" type="%s"><transition target="%s"/></history>' % (
                    state.name, kind, state.default.name)
            out = '<%s id="%s"%s>' % (
                state.kind, state.name, ' initial="%s"' % state.initial.name if state.initial else "")
            late = [t for t in state.transitions if t["after"]]
            sends = "".join('<send event="%s" id="%s" delay="%dms"/>' % (t["late"], t["late"], t["after"]) for t in late)
            cancels = "".join('<cancel sendid="%s"/>' % t["late"] for t in late)
            out += "<onentry>" + log("+" + state.name) + raises(state.enter) + sends + "</onentry>"
            out += "<onexit>" + raises(state.exit) + log("-" + state.name) + cancels + "</onexit>"
            for t in state.transitions:
                out += "<transition"
                if t["after"]:
                    out += ' event="%s"' % t["late"]
                elif t["events"] is not None:
                    out += ' event="%s"' % t["events"].replace(",", "")
                if t["cond"]:
                    out += " cond=\"%sIn('%s')\"" % ("!" if t["cond"][0] else "", t["cond"][1])
                if t["targets"]:
                    out += ' target="%s"' % " ".join(s.name for s in t["targets"])
                out += ' type="internal"' if t["internal"] else ""
                out += ">" + log("t%d" % next(number)) + raises(t["raise"]) + "</transition>"
            return out + "".join(write(child) for child in state.children) + "</%s>" % state.kind

        return '<scxml xmlns="http://www.w3.org/2005/07/scxml" version="1.0" datamodel="ecmascript">%s</scxml>' % (
            "".join(write(child) for child in self.root.children))


def play(chart):
    """What Qt says, or nothing where the chart runs in a circle."""
    events = []
    for _ in range(12):
        events.append(chart.dice.choice(EVENTS))
        if chart.delays and chart.dice.random() < 0.7:
            events.append("+%d" % chart.dice.randint(1, 1500))
    with tempfile.NamedTemporaryFile("w", suffix=".scxml") as file:
        file.write(chart.scxml())
        file.flush()
        try:
            done = subprocess.run([HERE + "/trace", file.name] + events, capture_output=True, text=True, timeout=2)
        except subprocess.TimeoutExpired:
            return None
    return done.stdout if done.returncode == 0 else None


def main():
    count, seed, delays = int(sys.argv[1]), 0, len(sys.argv) > 2
    while count:
        seed += 1
        chart = Chart(seed, delays)
        traces = play(chart)
        lines = traces.splitlines()[1:] if traces else []
        if any(" t" in line and (line.startswith("+") or not delays) for line in lines):
            print("# chart %d\n%s\n\n%s" % (seed, chart.text(), traces))
            count -= 1


if __name__ == "__main__":
    main()
