"""The colours that say what a note is: on the neck, on the keyboard and on the staff.

Okabe & Ito 2008. Outlines go around the light ones, because orange, sky blue and yellow fail 3:1 on
white (WCAG 2.x, 1.4.11). Colour is never alone: a shape and a word say the same.
"""

INK = "#111111"
OUTLINE = "#1b1b1b"
WHITE = "#ffffff"
BLUE = "#0072B2"
SKY = "#56B4E9"
PURPLE = "#CC79A7"
VERMILLION = "#D55E00"
YELLOW = "#F0E442"
