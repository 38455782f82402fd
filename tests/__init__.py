"""The checks, by room; `strategies` makes whole studies for any of them."""
