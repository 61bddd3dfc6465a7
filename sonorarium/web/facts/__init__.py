"""What pages show: facts from the layers below in plain values, and what is drawn of them."""
