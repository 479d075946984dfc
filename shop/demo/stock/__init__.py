"""The invented instruments, by how far they have come. No such makers are known to us."""
