"""Charts as ready geometry. Each module has one ``build`` that returns a frozen dataclass; its ``template`` draws it.

No Django here: words come in as arguments, figures stay numbers and are written by the template in the reader's
language. Lengths are units of the drawing, rounded to hundredths, with y pointing down. Every chart has two drawings
of the same figures, ``wide`` and ``phone``, of which the stylesheet shows the one that fits.
"""
