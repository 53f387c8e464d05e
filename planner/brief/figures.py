"""Numbers, lengths, days and money as a job's locale writes them (Unicode CLDR, by way of Babel)."""

from datetime import date
from decimal import Decimal
from typing import Literal

from babel import Locale, UnknownLocaleError, dates, numbers, units

from planner.refusal import Refusal, show

Unit = Literal["meter", "millimeter", "inch"]


class Figures:
    """How one locale writes figures."""

    def __init__(self, code: str) -> None:
        """Take a locale such as ``en_GB``.

        Raises
        ------
        Refusal
            If nothing is known of it.

        """
        try:
            self.locale = Locale.parse(code)
        except (UnknownLocaleError, ValueError):
            raise Refusal(
                f"field locale: found {show(code)}; nothing is known of how it writes figures: use a "
                "language and a region, such as en_GB"
            ) from None

    @property
    def language(self) -> str:
        """ISO 639 code of its language."""
        return str(self.locale.language)

    def number(self, value: float, digits: int = 0) -> str:
        """Return a number with that many decimals at most, and a true minus."""
        rounded = round(value, digits) + 0.0
        pattern = "#,##0" + ("." + "#" * digits if digits else "")
        return str(numbers.format_decimal(rounded, pattern, locale=self.locale)).replace("-", "−")

    def length(self, value: float, unit: Unit, digits: int = 0, *, long: bool = False) -> str:
        """Return a length with its unit: "4.7 mm"."""
        name = f"length-{unit}"
        form: Literal["long", "short"] = "long" if long else "short"
        said = units.format_unit(
            Decimal(str(round(value, digits))), name, form,
            format="#,##0" + ("." + "#" * digits if digits else ""), locale=self.locale,
        )  # fmt: skip
        if name in said:  # not every locale has a name for an inch
            said = units.format_unit(self.number(value, digits), name, form, locale="en")
        return str(said).replace(" ", "\N{NO-BREAK SPACE}")

    def day(self, value: date) -> str:
        """Return a day in words: "14 March 2031"."""
        return str(dates.format_date(value, "long", locale=self.locale))

    def money(self, value: Decimal, currency: str) -> str:
        """Return an amount with its currency: "€96.40"."""
        return str(numbers.format_currency(value, currency, locale=self.locale))
