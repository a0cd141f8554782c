"""What lies in the database: paints and their versions, cards, tubes, grounds, recipes."""
