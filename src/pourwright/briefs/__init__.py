"""The two files a maker writes, the edition's and the studio's: their fields, reading and editing."""
