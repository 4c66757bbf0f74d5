"""What drawings are made of: canvas, layers, lettering, labels and dimension chains; no closets."""
