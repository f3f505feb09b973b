"""What lets a shop's own site hold the configurator: the loader, the framed pages, and who may frame them."""
