"""Headings as people write them, each with what they mean by it: written down before any was tried.

Common practice in spreadsheets, from memory; the last ones mean nothing that an offer has.
"""

HEADINGS = {
    "seller": [
        "Who sells it", "Shop name", "Bought from", "Seller / shop", "store name", "suplier", "Where from",
    ],
    "title": [
        "What they call it", "Name of listing", "Listing title", "Their description", "Item name",
        "Product name", "advertised name",
    ],
    "material": [
        "Stuff", "What it's made of", "Materail", "glass or acrylic?", "Made out of", "type of glass",
    ],
    "size": ["Size (SS)", "SS no.", "stone sizes", "Sz", "What size", "size ss/mm"],
    "mm": ["Size in mm", "Diameter (mm)", "mm across", "how wide"],
    "shape": ["Shape of stone"],
    "colour": [
        "Colour name", "Color", "which colour", "Colur", "stone color name", "Shade name", "Their colour",
    ],
    "coating": [
        "Coating / effect", "AB or plain", "Finish type", "special effect", "coated?", "which coating",
        "Film / AB",
    ],
    "count": [
        "How many", "Qty per pack", "No. of stones", "Nr of pcs", "How many in a pack", "Pack qty",
        "stones in bag", "count/pack", "pcs per bag", "# stones", "amount of stones", "per packet",
    ],
    "price": [
        "How much", "Price (EUR)", "Price each", "cost per pack", "€ per pack", "Pack price inc. VAT",
        "what it costs", "Asking", "Preis €", "unit price",
    ],
    "currency": ["Curr.", "In what money", "currency (ISO)"],
    "former_price": ["Was price", "crossed-out", "Before the sale", "RRP £", "usual price"],
    "shipping": [
        "P&P", "Postage cost", "Shipping fee", "post", "delivery fee", "shipping per order",
        "Postage & packing",
    ],
    "duty": ["Customs charges", "import duties"],
    "tax": ["VAT 20%", "Import VAT", "taxes"],
    "handling": ["Courier handling", "Handling charge", "customs clearance fee"],
    "available": ["How many left", "In stock?", "packs in stock", "Stock level"],
    "returns": ["Send back?", "Can I return it", "Return policy", "Returns (days)", "money back within"],
    "delivery_days": [
        "Delivery time", "How long", "ships in (days)", "Days to arrive", "ETA", "arrival", "lead-time",
    ],
    "until": ["Offer until", "sale ends", "Ends on"],
    "note": ["My notes", "Remarks / comments"],
    None: ["SKU", "Link", "Photo", "ref. no", "Rating"],
}  # fmt: skip
"""Headings by the field of an offer."""

NAMES = {
    "pulley-blue": ["Pully blue", "blue pulley", "PULLEY-BLUE", "Pulley blu", "pulley blue (glass)"],
    "marlinspike-navy": ["Marlinspike", "navy marlinspike", "Marlin spike navy", "marlinspike nvay"],
    "tackle-jet": ["Tackle Jet black", "tackel jet", "jet tackle"],
    "shackle-red": ["shackle rd", "Red Shackle", "Shackle red glass"],
    None: ["royal blue", "blue", "something sparkly", "assorted", "rd"],
}
"""Names of stones as sellers write them, by the stone of the demo that is meant."""
