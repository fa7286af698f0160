"""One open job at work, whoever shows it: acting, late entries, forms that reach the shop."""
