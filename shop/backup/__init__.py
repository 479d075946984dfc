"""The whole shop in one file, and back: database and media, from either database into either.

A backup is a plain tar. It is written in one go without turning back, which a tape or a pipe can take too;
every machine opens it without this program; and packing would gain nothing on photographs. Inside stand
the database, every file that it names, `manifest.json` with the size and SHA-256 of each, and last
`seal.json` with the SHA-256 of every byte between them, so that not one may turn unseen.
"""
