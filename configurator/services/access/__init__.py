"""Who may come in: log-in, second step, PINs, links in mail, tablets of the bay, people."""
