"""The likeliest mistakes in documents and rule files, with every word of what is said to them."""
