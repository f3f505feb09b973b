"""What the shop keeps of people: written out, listed, erased, let go after a while."""
