"""The page *Paint*: what she wears and wore, the section through it, what may go over it."""
