"""Collars that are set on: flat, standing, turned over, on a stand, and tied; each as half its shape."""
