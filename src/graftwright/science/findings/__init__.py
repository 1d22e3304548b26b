"""What took, and was it luck: binomial mixed models of small, lumpy counts."""
