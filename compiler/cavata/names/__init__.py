"""Finding modules and binding every name: from trees to a program that can be evaluated."""
