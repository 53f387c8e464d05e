"""From what people see to entries: which film or body a sample's colours mean, and what came of an order.

`sight` is what was seen; `films`, `card` and `sparkles` say what every candidate film would look like
and how well that fits; `coating` and `body` give the entries; `foresee` says what they mean for other
stones; `arrival` holds a prediction against what came, and `record` remembers how far off those were.
"""
