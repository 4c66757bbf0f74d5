"""What a layout is worth: amounts, score terms and how far apart two layouts are."""
