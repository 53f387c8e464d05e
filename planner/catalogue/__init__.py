"""What can be bought or held: models of stones, coatings, cuts, venues and swatches; palette files in and out."""
