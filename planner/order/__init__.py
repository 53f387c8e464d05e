"""From what is needed to a parcel: offers read, checked and compared, and the packs to buy from them."""
