"""What a client reads: colours, shares, differences and warnings in the words of the message file.

The rooms above speak English from small fixed vocabularies ("slightly greener", "about a third"). Each of
their words is an entry of the message file, so that another language is a file and no code.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from planner.assess import LineAssessed
from planner.brief.figures import Figures
from planner.brief.messages import Messages
from planner.catalogue.pairing import pairing_name
from planner.colour.difference import delta_e
from planner.colour.words import SAME, shift_words
from planner.optics.arrays import Floats
from planner.reading.concern import Elsewhere
from planner.reading.fit import fit
from planner.reading.hues import hues
from planner.reading.instead import Instead
from planner.reading.phrase import WHOLE, share
from planner.reading.read import Reading
from planner.reading.verdict import verdict
from planner.reading.warn import STRADDLE, UNSURE, Concern


@dataclass(frozen=True)
class Wording:
    """One language, and one way to write figures."""

    say: Messages
    figures: Figures

    def colour(self, name: str) -> str:
        """Return an ISCC-NBS name as a person says it: "moderate greenish blue" is "medium greenish blue"."""
        words = name.split()
        for start in range(len(words)):
            hue = " ".join(words[start:])
            if self.say.knows("hue", hue):
                said = self.say.say("hue", hue)
                depth = " ".join(words[:start])
                return self.say.say("depth", depth, hue=said) if depth else said
        raise KeyError(name)

    def family(self, name: str) -> str:
        """Return a hue family."""
        return self.say.say("family", name)

    def sparkles(self, names: list[str]) -> str:
        """Return what several kinds of sparkle are called together: "golden and greenish"."""
        return self.say.listed([self.say.say("sparkles", one) for one in names])

    def shift(self, words: str) -> str:
        """Return a difference: "slightly lighter, much greener" is "a little lighter and much greener"."""
        return self.say.listed([self.say.say("shift", one) for one in words.split(", ")])

    def share(self, value: float) -> tuple[str, bool]:
        """Return a share, 0 to 1, and whether it stands before a plural without "of"."""
        word = share(value)
        return self.say.say("share", word), word in WHOLE

    def pairing_of(self, reading: Reading) -> str:
        """Return what a reading's pairing is called."""
        question = reading.question
        return pairing_name(question.stone, question.coating, self.say.entries["pairing"])

    def numbers(self, values: list[int]) -> str:
        """Return numbers with runs drawn together: "2, 5–9"."""
        runs: list[list[int]] = []
        for value in values:
            if runs and value == runs[-1][-1] + 1:
                runs[-1].append(value)
            else:
                runs.append([value])
        dash = "\N{EN DASH}"
        parts = [
            f"{run[0]}{dash}{run[-1]}" if len(run) > 2 else ", ".join(map(str, run))
            for run in runs
        ]  # fmt: skip
        return ", ".join(parts)

    def unsaid(self, of_sellers: Sequence[tuple[str, tuple[str, ...]]]) -> str:
        """Return which charges sellers do not state: "handling and duty (Batten and Daughters)"."""
        told = [
            self.say.say("charge", "of", seller=seller,
                         charges=self.say.listed([self.say.say("charge", one) for one in names]))
            for seller, names in of_sellers
        ]  # fmt: skip
        return self.say.join(told) if told else ""

    # --- what a pairing does -------------------------------------------------------------------

    def verdict(self, reading: Reading) -> str:
        """Return the answer in half a sentence."""
        question, outcome = reading.question, verdict(reading).outcome
        if outcome == "can't tell":
            return self.say.say("verdict", "unknown")
        yes = {"passes": "yes", "just about": "just", "fails": "no"}[outcome]
        if question.wish != "blend":
            return self.say.say("verdict", f"{question.wish}_{yes}")
        purpose = question.tolerance if isinstance(question.tolerance, str) else "number"
        return self.say.say(
            "verdict", f"blend_{purpose}_{yes}", family=self.family(reading.swatch.family),
            glow=self.family(reading.seen.family),
        )  # fmt: skip

    def coating(self, reading: Reading) -> str:
        """Return what the coating does to the stone."""
        glow, bare = reading.seen, reading.uncoated
        if reading.question.coating is None:
            return self.say.say("say", "no_coating", glow=self.colour(glow.name))
        if glow.family != bare.family:
            return self.say.say(
                "say", "coating_turns", bare=self.family(reading.family_uncoated),
                glow=self.family(glow.family),
            )  # fmt: skip
        before = self.family(reading.family_uncoated)
        if reading.shift.words == SAME:
            return self.say.say("say", "coating_nothing", family=before)
        return self.say.say("say", "coating_keeps", family=before, words=self.shift(reading.shift.words))

    def sparkle(self, reading: Reading) -> str:
        """Return which hues its sparkle has."""
        told = hues(reading)
        if told is None:
            return self.say.say("say", "no_lamps" if reading.lamp_eye is None else "no_sparkle")
        said = self.say.say(
            "say", f"sparkle{'_but' if told.contrary else ''}", share=self.share(told.number)[0],
            hues=self.say.say("sparkles", told.name),
        )  # fmt: skip
        return self.say.begin(said)

    def match(self, reading: Reading) -> str:
        """Return how the stone stands to the swatch; nothing where the swatch has no known colour."""
        if not reading.question.swatch_told:
            return ""
        if reading.drift.words == SAME:
            return self.say.say("say", "match_same")
        return self.say.say("say", "match", words=self.shift(reading.drift.words))

    def sure(self, reading: Reading) -> str:
        """Return how sure the answer is: lots, and the swatch itself."""
        question, answer = reading.question, fit(reading)
        if not question.swatch_told:
            return self.say.say("say", "fluorescent")
        if not question.cloth_told and question.stone.foil == "none" and not question.stone.opaque:
            return self.say.say("say", "cloth_fluorescent")
        otherwise = 1.0 - answer.lots if answer.fits else answer.lots
        if otherwise <= STRADDLE:
            word, whole = self.share(1.0 - otherwise)
            said = [self.say.say("say", "sure" if whole else "sure_of", share=word)]
        else:
            word, whole = self.share(answer.lots)
            said = [self.say.say("say", "unsure" if whole else "unsure_of", share=word)]
            if reading.lots.towards not in {"", reading.drift.words}:
                said.append(self.say.say("say", "towards", words=self.shift(reading.lots.towards)))
        said.append(self.say.say("say", f"swatch_known_{question.swatch.basis}"))
        if answer.outcome == "can't tell":
            said.append(self.say.say("say", "cannot_tell"))
        elif answer.unsure > UNSURE:
            said.append(self.say.say("say", "swatch_unsure"))
        return " ".join(said)

    def kinds(self, reading: Reading) -> str:
        """Return what the kind of cloth does to what is seen; nothing where it is plain."""
        colours = (reading.question.swatch, reading.question.cloth)
        kinds = dict.fromkeys(one.cloth.kind for one in colours if one.cloth is not None)
        return " ".join(self.say.say("kind", one) for one in kinds if self.say.knows("kind", one))

    def there(self, told: LineAssessed, there: Elsewhere) -> str:
        """Return what a pairing does in another venue."""
        venue = there.venue.name
        if told.verdict.holds:
            if there.holds:
                return self.say.say("elsewhere", "holds", venue=venue)
            if there.drift.words == SAME:
                return self.say.say("elsewhere", "breaks_same", venue=venue)
            return self.say.say("elsewhere", "breaks", venue=venue, words=self.shift(there.drift.words))
        if there.drift.words == SAME:
            return self.say.say("elsewhere", "same", venue=venue)
        return self.say.say("elsewhere", "is", venue=venue, words=self.shift(there.drift.words))

    def instead(self, one: Instead) -> str:
        """Return a pairing that was considered, and what speaks against it."""
        free = "" if one.gives_up else "_free"
        losses = [self.say.say("loss", loss.partition(":")[0].removesuffix(".")) for loss in one.gives_up]
        severe = [concern for concern in one.concerns if concern.severity == "severe"]
        breaks = [str(c.figures["venue"]) for c in severe if c.code == "breaks-elsewhere"]
        kind = "_elsewhere" if breaks and len(severe) == 1 else "_severe" if severe else ""
        values = {"pairing": self.pairing_of(one.reading)}
        values |= {"venue": breaks[0]} if kind == "_elsewhere" else {}
        values |= {"loss": self.say.listed(losses)} if losses else {}
        return self.say.say("instead", f"item{kind}{free}", **values)

    # --- warnings ------------------------------------------------------------------------------

    def warning(self, concern: Concern, told: LineAssessed) -> str:
        """Return a warning to a client."""
        reading, code = told.reading, concern.code
        match code:
            case "glow-drifts":
                values = dict(glow=self.colour(reading.seen.name), swatch=self.colour(reading.swatch.name))
            case "flash-off-hue":
                named = str(concern.figures["hues"]).replace(" and ", ", ").split(", ")
                values = dict(
                    share=self.share(float(concern.figures["by_number"]))[0], hues=self.sparkles(named),
                    family=self.family(reading.swatch.family),
                )  # fmt: skip
            case "breaks-elsewhere":
                venue = str(concern.figures["venue"])
                drift = next(one.drift for one in told.elsewhere if one.venue.name == venue)
                values = dict(venue=venue, words=self.shift(drift.words))
            case "lightness-apart":
                code += "-darker" if float(concern.figures["dL"]) < 0 else "-lighter"
                values = dict(distance=self.figures.length(float(concern.figures["merge_m"]), "meter"))
            case "sizes-differ":
                darker = "darker" if float(concern.figures["dL"]) < 0 else "lighter"
                values = dict(
                    size=reading.question.size, other=str(concern.figures["size"]),
                    words=self.say.say("shift", darker),
                )  # fmt: skip
            case _:
                values = dict(code=code)
        return self.say.say("warning", code if self.say.knows("warning", code) else "other", **values)

    def warning_of_many(self, code: str) -> str:
        """Return what a warning says of several lines at once."""
        return self.say.say("warning_many", code if self.say.knows("warning_many", code) else "other")

    # --- lots ----------------------------------------------------------------------------------

    def ends(self, labs: Floats) -> tuple[str, str]:
        """Return how the two ends of a range of lots differ from its middle; empty where they do not."""
        middle = labs[len(labs) // 2]
        if delta_e(labs[0], labs[-1]) < SEEN_APART:
            return "", ""
        ends = [shift_words(middle, labs[at]) for at in (0, -1)]
        left, right = ("" if one == SAME else self.shift(one) for one in ends)
        return (
            self.say.say("strip", "left", words=left) if left else "",
            self.say.say("strip", "right", words=right) if right else "",
        )


SEEN_APART = 2.0
"""ΔE00 between the ends of a range of lots below which they look alike at arm's length."""
