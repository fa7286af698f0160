"""The ledger of a shop on the disk: an entry for each job that has ended, and its seals."""
