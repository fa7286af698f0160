"""One procedure file held against another: what is said otherwise, and which gates got weaker."""
